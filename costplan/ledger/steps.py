"""What is done today to a shop that is there, step by step: what is kept, taken over, cut, put on, bought, made safe."""

from dataclasses import dataclass, field
from enum import StrEnum

from costplan.circuits.needs import Item, Need


class Act(StrEnum):
    """One kind of step."""

    KEEP = "keep"
    TAKE_OVER = "take over"
    TAKE_FROM_SHELF = "take from the shelf"
    BUY = "buy"
    SHARE = "share"
    MAKE_SAFE = "make safe"
    LEAVE_LIVE = "leave live"
    BACK_TO_SHELF = "back to the shelf"


@dataclass(frozen=True, slots=True, order=True)
class Step:
    """One step of today's work.

    `machine` is whose circuit it serves, or whose it was where nobody uses the thing again; `item` the thing as it is
    now, or as it is bought; `wanted` what it becomes part of; `source` the machine that gives it up, empty for the
    shelf and for what is bought. `whole` things are taken as they are, a cord with both its ends; an outlet with
    `ends_change` gets another receptacle or breaker, which are steps of their own. `run` is the outlet whose run a
    receptacle or a breaker is put into, `out_of` the one whose run it comes out of, None where that is not one; `within`
    is the kind of thing that it is made with anew: a run, a kit, a machine's own plug. A cord that is `cut_off` is what is
    left of a longer one that `source` cuts; `takes` are the parts that making an outlet safe takes.
    """

    act: Act
    machine: str
    item: Item
    wanted: Item | None = None
    source: str = ""
    whole: bool = False
    ends_change: bool = False
    run: Item | None = field(default=None, compare=False, kw_only=True)
    out_of: Item | None = field(default=None, compare=False, kw_only=True)
    within: str = field(default="", kw_only=True)
    cut_off: bool = field(default=False, kw_only=True)
    takes: tuple[Need, ...] = field(default=(), compare=False, kw_only=True)

    @property
    def kind(self) -> str:
        """The kind of thing."""
        return self.item.spec.kind

    @property
    def cut_to_ft(self) -> int:
        """How long a cable is cut from a longer one, feet; 0 where nothing is cut."""
        longer = self.wanted is not None and self.item.length_ft > self.wanted.length_ft > 0
        return self.wanted.length_ft if longer and self.wanted is not None and not self.whole else 0

    @property
    def offcut_ft(self) -> int:
        """What is left of it, feet."""
        return self.item.length_ft - self.cut_to_ft if self.cut_to_ft else 0
