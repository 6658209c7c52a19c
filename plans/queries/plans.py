"""Which quilts are there, what may be done with each, and how far has it come? The cards of the first page and of the list of plans."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.db.models import Prefetch, Sum

from plans.models import Plan, Round, Sitting, Stage
from plans.models.plan import MOVES, State
from plans.queries import units
from plans.queries.hours import monday
from plans.queries.left import RoleLeft, open_lines, roles_left
from plans.queries.stages import Sewing, StageRow, sewing
from plans.queries.worked import Fault, Worked, worked_from
from quiltbook.measures import Size, System
from quiltbook.people.models import Person
from quiltbook.web.words import in_words

# What is said on the button of each move, and what it comes to.
_WORDS: Mapping[tuple[State, State], tuple[str, str]] = {
    (State.IDEA, State.ON_THE_GO): ("Start it", "It is then on the go, and stands on the first page."),
    (State.IDEA, State.PUT_ASIDE): ("Put it aside", "It keeps everything, and leaves the first page alone."),
    (State.IDEA, State.GIVEN_UP): (
        "Give it up",
        "Cloth held for it goes free again. It can be taken up as an idea later.",
    ),
    (State.ON_THE_GO, State.PUT_ASIDE): (
        "Put it aside",
        "It keeps its cloth and its hours, and leaves the first page.",
    ),
    (State.ON_THE_GO, State.FINISHED): ("It is finished", "Cloth still held for it goes free again."),
    (State.ON_THE_GO, State.GIVEN_UP): (
        "Give it up",
        "Cloth held for it and not cut goes free again. It can be taken up as an idea later.",
    ),
    (State.PUT_ASIDE, State.ON_THE_GO): ("Take it up again", "It is on the go again."),
    (State.PUT_ASIDE, State.IDEA): ("Back to an idea", "It is an idea again."),
    (State.PUT_ASIDE, State.GIVEN_UP): (
        "Give it up",
        "Cloth held for it and not cut goes free again. It can be taken up as an idea later.",
    ),
    (State.FINISHED, State.ON_THE_GO): ("Not finished after all", "It is on the go again."),
    (State.GIVEN_UP, State.IDEA): (
        "Think of it again",
        "It is an idea again. Its cloth was let go and must be held afresh.",
    ),
}


@dataclass(frozen=True, slots=True)
class Move:
    """One move the table allows: `asks_day` where she says on which day, `weighty` where she is asked once more."""

    to: State
    words: str
    sentence: str
    asks_day: bool
    weighty: bool

    @property
    def slug(self) -> str:
        """The state in an address."""
        return self.to.name.lower()


@dataclass(frozen=True, slots=True)
class PlanCard:
    """One quilt at a glance. `next` is what can be sewn now; `line` says what is left; both empty unless it is under way."""

    id: int
    name: str
    state: State
    size: Size | None
    rounds: int
    finished_on: date | None
    touched_at: datetime
    line: str
    next: StageRow | None
    minutes_this_week: int
    work: Worked | Fault


def moves(plan: Plan) -> tuple[Move, ...]:
    """What can be done with the plan now, likeliest first."""
    state = State(plan.state)
    return tuple(_move(state, to) for to in MOVES[state])


def can_move(plan: Plan, to: State) -> str:
    """Empty where the table has the move; else a sentence that says why not."""
    state = State(plan.state)
    if to in MOVES[state]:
        return ""
    if to == state:
        return f"“{plan.name}” is {_called(state)} already."
    return f"“{plan.name}” is {_called(state)}, and cannot become {_called(to)} from there."


def can_change(plan: Plan) -> str:
    """Empty where the quilt itself may be changed; else a sentence that says why not."""
    if plan.state == State.FINISHED:
        return f"“{plan.name}” is finished. Say that it is on the go again to change it."
    if plan.state == State.GIVEN_UP:
        return f"“{plan.name}” was given up. Make it an idea again to change it."
    return ""


def cards(*, owner: Person, states: Sequence[State], today: date, system: System) -> tuple[PlanCard, ...]:
    """The owner's quilts in these states, the one touched last first."""
    standing = Prefetch("rounds", queryset=Round.objects.standing(), to_attr="standing")
    found = list(Plan.objects.of(owner).filter(state__in=states).prefetch_related(standing))
    minutes = _minutes_this_week(found, today)
    return tuple(_card(plan, minutes[plan.pk], system) for plan in found)


def count_by_state(*, owner: Person) -> dict[State, int]:
    """How many quilts are in each state; those in none stay out."""
    counts: dict[State, int] = defaultdict(int)
    for state in Plan.objects.of(owner).values_list("state", flat=True):
        counts[State(state)] += 1
    return dict(counts)


def _card(plan: Plan, minutes: int, system: System) -> PlanCard:
    work = worked_from(plan, plan.standing)  # type: ignore[attr-defined]
    line, following = "", None
    if plan.state == State.ON_THE_GO and isinstance(work, Worked):
        roles = roles_left(plan, work)
        stages = sewing(plan=plan, work=work, cut={role.key: role.cut for role in roles}, system=system)
        line = " ".join(filter(None, (_to_cut(roles), _to_sew(stages, system), _to_buy(plan))))
        following = stages.next
    return PlanCard(
        id=plan.pk,
        name=plan.name,
        state=State(plan.state),
        size=work.top.finished if isinstance(work, Worked) else None,
        rounds=len(plan.standing),  # type: ignore[attr-defined]
        finished_on=plan.finished_on,
        touched_at=plan.touched_at,
        line=line,
        next=following,
        minutes_this_week=minutes,
        work=work,
    )


def _to_cut(roles: Sequence[RoleLeft]) -> str:
    left, needed, missing = (sum(n) for n in zip(*((r.left, r.needed, r.missing) for r in roles), strict=True))
    if not left:
        return "All is cut."
    if missing == left:
        return f"{left} patches to cut, and no cloth held for them yet."
    return f"{left} of {needed} patches left to cut" + (f", {missing} with no cloth yet." if missing else ".")


# What is counted on a card, in the order of the job, and what is done to it.
_COUNTED = (
    (Stage.Technique.BASTING_SHAPES, "to baste"),
    (Stage.Technique.PIECING, "to piece"),
    (Stage.Technique.APPLIQUE, "to sew on"),
    (Stage.Technique.JOINING, "to join"),
)


def _to_sew(stages: Sewing, system: System) -> str:
    """What is left by technique: the stages themselves are on the plan's own page."""
    words = []
    for technique, done in _COUNTED:
        rows = [row for row in stages.left if row.technique == technique and not row.own]
        if rows:
            words.append(
                f"{units.show(sum((row.left for row in rows), Decimal()), rows[0].unit, system=system)} {in_words(done)}"
            )
    return f"{', '.join(words)}." if words else ""


def _to_buy(plan: Plan) -> str:
    count = len(open_lines(plan))
    return f"{count} cloth{'s' if count > 1 else ''} to buy." if count else ""


def _move(state: State, to: State) -> Move:
    words, sentence = _WORDS[state, to]
    return Move(to, words, sentence, asks_day=to == State.FINISHED, weighty=to == State.GIVEN_UP)


def _called(state: State) -> str:
    return str(state.label).lower()


def _minutes_this_week(plans: Iterable[Plan], today: date) -> dict[int, int]:
    """Minutes sat at each plan since Monday."""
    sums = (
        Sitting.objects.kept()
        .filter(stage__plan__in=[plan.pk for plan in plans], day__range=(monday(today), today))
        .values_list("stage__plan")
        .annotate(minutes=Sum("minutes"))
    )
    return defaultdict(int, dict(sums))
