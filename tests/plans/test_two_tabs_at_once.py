"""Two windows confirm sheets on the same cloth in the same moment: exactly one wins, and the other is told why."""

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest
from django.db import connection

from plans.models import CuttingSheet
from plans.services import sheets
from plans.services.errors import PlanError
from quiltbook.people.models import Person
from stash.models import Hold
from tests.factories import NOW, inches
from tests.plans.quilts import border_role, cloth, framed, give, laid_out


@pytest.mark.django_db(transaction=True)
def test_exactly_one_of_two_holds_the_cloth(owner: Person) -> None:
    kelp = cloth(owner, "Kelp", inches(42, 18))
    drafts = []
    for name in ("First", "Second"):
        plan = framed(owner, name)
        give(plan, border_role(plan), kelp)
        drafts += laid_out(plan)
    together = Barrier(2)

    def confirm(draft: CuttingSheet) -> str:
        together.wait(10)
        try:
            sheets.confirm(sheet=draft, now=NOW)
        except PlanError as why:
            return str(why)
        else:
            return ""
        finally:
            connection.close()

    with ThreadPoolExecutor(2) as threads:
        answers = sorted(threads.map(confirm, drafts))
    assert answers[0] == ""
    assert "is held already for" in answers[1]
    assert Hold.objects.live().count() == 1
    assert CuttingSheet.objects.filter(state=CuttingSheet.State.TO_CUT).count() == 1
    assert CuttingSheet.objects.drafts().count() == 1
