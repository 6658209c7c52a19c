"""Whose is it? What a page of a plan touches is fetched through its owner, so another person's id answers 404."""

from __future__ import annotations

from django.shortcuts import get_object_or_404

from plans.models import Allotment, CuttingSheet, Miscut, Plan, SheetCloth, SheetLine, ShoppingLine, Sitting
from quiltbook.people.requests import PersonRequest


def own_plan(request: PersonRequest, plan_id: int) -> Plan:
    return get_object_or_404(Plan.objects.of(request.user), pk=plan_id)


def allotment_of(request: PersonRequest, plan_id: int, allotment_id: int) -> Allotment:
    rows = Allotment.objects.filter(plan__owner=request.user, plan_id=plan_id)
    return get_object_or_404(rows.select_related("plan", "fabric"), pk=allotment_id)


def sheet_of(request: PersonRequest, plan_id: int, sheet_id: int) -> CuttingSheet:
    rows = CuttingSheet.objects.of(request.user).filter(plan_id=plan_id)
    return get_object_or_404(rows.select_related("plan", "fabric"), pk=sheet_id)


def cloth_of(request: PersonRequest, plan_id: int, sheet_id: int, cloth_id: int) -> SheetCloth:
    rows = SheetCloth.objects.filter(sheet__plan__owner=request.user, sheet__plan_id=plan_id, sheet_id=sheet_id)
    rows = rows.exclude(sheet__state=CuttingSheet.State.DRAFT)
    return get_object_or_404(rows.select_related("sheet__plan", "sheet__fabric", "piece__fabric"), pk=cloth_id)


def line_of(request: PersonRequest, plan_id: int, sheet_id: int, line_id: int) -> SheetLine:
    rows = SheetLine.objects.filter(
        cloth__sheet__plan__owner=request.user, cloth__sheet__plan_id=plan_id, cloth__sheet_id=sheet_id
    )
    return get_object_or_404(rows.select_related("cloth__sheet__plan"), pk=line_id)


def miscut_of(request: PersonRequest, plan_id: int, miscut_id: int) -> Miscut:
    rows = Miscut.objects.filter(line__cloth__sheet__plan__owner=request.user, line__cloth__sheet__plan_id=plan_id)
    return get_object_or_404(rows.select_related("line__cloth__sheet__plan"), pk=miscut_id)


def shopping_line_of(request: PersonRequest, line_id: int) -> ShoppingLine:
    return get_object_or_404(ShoppingLine.objects.of(request.user), pk=line_id)


def sitting_of(request: PersonRequest, plan_id: int, sitting_id: int) -> Sitting:
    rows = Sitting.objects.of(request.user).filter(stage__plan_id=plan_id)
    return get_object_or_404(rows.select_related("stage__plan"), pk=sitting_id)
