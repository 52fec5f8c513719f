"""Today's work on cords: which come down, what comes off them, what is made up and hung, and which stay where they hang."""

from collections.abc import Iterator
from dataclasses import replace

from costplan.circuits.clamps import KIT_RECIPE
from costplan.circuits.facts import DRIVE
from costplan.circuits.switch import LEAD_FT
from costplan.circuits.things import Made
from costplan.ledger.steps import Act, Step
from costplan.reports.work_draft import Draft, Phase
from costplan.reports.work_words import (
    ENDS,
    KITS,
    LEFT,
    Doers,
    Today,
    cable_words,
    length_words,
    piece,
    plain,
    whose,
    wired_in,
)

CORD_KINDS = ("cord", *ENDS, Made.KIT, Made.OWN_PLUG)
"""What the work on cords is about; an own plug is the one on a machine."""
_MADE_UP = ("cord set", "overhead cord", "pendant")
_END = ("cord end", "change cord end", "cord set")


def cord_drafts(today: Today, doers: Doers) -> Iterator[Draft]:
    """Every line about cords, in no order yet."""
    for step, count in today.counts:
        for draft in _of_step(today, doers, step):
            after = today.cuts_before(step.machine) if draft.phase is Phase.CORDS else 0
            yield replace(draft, count=count, after=after)


def _of_step(today: Today, doers: Doers, step: Step) -> Iterator[Draft]:
    writer = _CordWriter(today, doers, step)
    if step.within in CORD_KINDS:
        yield from writer.part()
    elif step.kind == "cord":
        yield from writer.cable()
    elif step.kind in ENDS:
        yield from writer.end()
    elif step.kind == Made.KIT:
        yield from writer.kit()
    elif step.kind == Made.OWN_PLUG and not _found_parts(today, step):
        yield from writer.own_plug(dict(step.item.spec.equal)["configuration"])


def _found_parts(today: Today, step: Step) -> bool:
    """Whether parts of what is made anew are not bought, so that those say what is done."""
    return any(other.within == step.kind and other.act is not Act.BUY for other, _ in today.of(step.machine))


def goes_to(step: Step) -> str:
    """The machine that a thing serves from today on; empty for the shelf."""
    return "" if step.act is Act.BACK_TO_SHELF else step.machine


def stays_on(today: Today, end: Step) -> bool:
    """Whether a plug or connector of an old cord stays on its cable, since both go the same way uncut."""
    if not end.source:
        return False
    cables = [
        step
        for step, _ in today.counts
        if step.kind == "cord" and step.source == end.source and not (step.whole or step.cut_off)
    ]
    return any(goes_to(step) == goes_to(end) and not _cut(step) for step in cables)


def stays_hanging(today: Today, step: Step) -> bool:
    """Whether a cord, its kit, or an end that stays on it, is only handed over where it hangs."""
    if step.kind not in ENDS:
        return step.kind in ("cord", Made.KIT) and today.hangs_on(step)
    cables = [other for other, _ in today.of(step.machine, "cord") if other.source == step.source]
    return stays_on(today, step) and any(today.hangs_on(cable) for cable in cables)


def kept_kit(today: Today, step: Step) -> str:
    """What a machine's own old cord hung from, where its new cable hangs from it at another place; empty where none does."""
    had, machine = today.facts.machines[step.machine].now, step.machine
    if had is None or had.method not in KIT_RECIPE or step.kind != "cord" or step.act in LEFT or step.whole:
        return ""
    if step.act is Act.KEEP or today.facts.machines[machine].at == today.circuit_place(machine):
        return ""
    if any(other.kind == Made.KIT and machine in (other.machine, other.source) for other, _ in today.counts):
        return ""
    outlets = [s.wanted.outlet for s, _ in today.of(machine, Made.OUTLET) if s.wanted is not None]
    hangs = any(outlet.run is had.method for outlet in outlets)
    return KITS[had.method] if hangs else ""


def _bare_ends(today: Today, machine: str) -> bool:
    """Whether a machine has no plug until now: it came with none, and hangs on no receptacle."""
    known = today.facts.machines[machine]
    return known.plug is None and (known.now is None or known.now.configuration is None)


def _cut(step: Step) -> bool:
    return bool(step.cut_to_ft) and step.act is not Act.KEEP


class _CordWriter:
    def __init__(self, today: Today, doers: Doers, step: Step) -> None:
        self.today, self.doers, self.step = today, doers, step
        self.machine = step.machine
        self.at = today.facts.machines[step.machine].at
        self.name = today.name(step.machine)

    # cables ---------------------------------------------------------------------------------------

    def cable(self) -> Iterator[Draft]:
        """A cord that stays, is hung elsewhere, is made up, or goes to the shelf."""
        step, today = self.step, self.today
        stays = step.act is not Act.BACK_TO_SHELF and today.hangs_on(step)
        kept = step.act is Act.KEEP and not step.cut_off
        if kept and (stays or today.stays_at_machine(step)):
            return
        if step.source and not stays and not step.cut_off:
            yield self._taken_down()
        if step.act is Act.BACK_TO_SHELF and step.cut_off:
            yield self._to_the_shelf(f"{piece(step.item)}, {today.source(step)}")
            return
        if step.act is Act.BACK_TO_SHELF:
            yield replace(self._to_the_shelf(self._with_ends()), along=self._along_with())
            return
        who = self.doers.of(self.machine, _MADE_UP, self.doers.owner)
        long = length_words(step)
        if stays:
            ends = ", with its ends," if step.whole else ""
            words = f"{today.old_cord(step.source)}{ends} stays where it hangs, for the {self.name}: {long}"
            yield Draft.of(Phase.CORDS, 0, self.at, who, words, step)
            return
        if kept:
            words = f"hang {today.old_cord(self.machine)} and what it hung from, {self._way()}"
            yield Draft.of(Phase.CORDS, 4, self.at, self.doers.owner, words, step)
            return
        if step.whole:
            what = today.old_cord(step.source) if step.source else f"{piece(step.item)}, from the shelf"
            kit = " and what it hung from" if step.source and not today.of(self.machine, Made.KIT) else ""
            words = f"hang {what}, with its ends{kit}, {self._way()}: {long}"
            hung = Draft.of(Phase.CORDS, 4, self.at, who, words, step)
            # What lay on the shelf is tested like what is made up.
            yield replace(hung, made=not step.source)
            return
        feet = f", {step.item.length_ft} ft" if step.act is not Act.TAKE_OVER or step.cut_off else ""
        made = f"make up the {whose(self.name)} cord: {cable_words(step.item)}{feet}, {today.source(step)}"
        into = (
            f"; wire it into the {self.name}, held by its grip"
            if wired_in(today.ranked, self.machine)
            else ""
        )
        words = f"{made}; {long or 'ends included'}{into}"
        made_up = Draft.of(Phase.CORDS, 0, self.at, who, words, step, frees=today.offcut(step))
        yield replace(made_up, made=True)
        if kept_kit(today, step):
            yield from self._own_kit()
        if self._hung_from():
            words = f"hang the {whose(self.name)} cord {self._way()}"
            yield Draft.of(Phase.CORDS, 4, self.at, who, words, machine=self.machine)

    def _own_kit(self) -> Iterator[Draft]:
        """The machine's own kit goes with it to its new place, for another cable."""
        kit, old = kept_kit(self.today, self.step), self.today.old_cord(self.machine)
        where, who = self.today.circuit_place(self.machine), self._hanger(self.machine)
        yield Draft.of(Phase.OUT, 2, where, who, f"take down the {kit} of {old}", machine=self.machine)
        words = f"hang the {kit} for the {whose(self.name)} cord, the one of {old}"
        yield Draft.of(Phase.CORDS, 3, self.at, who, words, machine=self.machine)

    def _taken_down(self) -> Draft:
        step = self.step
        whole = ", with its ends" if step.whole else ""
        words = f"take down {self.today.old_cord(step.source)}{whole}"
        return Draft.of(
            Phase.OUT,
            0,
            self.today.circuit_place(step.source),
            self.doers.of(step.source, ("overhead cord", "pendant"), self.doers.owner),
            words,
            None,
            machine=step.source,
            frees=(step, *self._along_with()),
        )

    def _along_with(self) -> tuple[Step, ...]:
        """The ends that stay on the cable."""
        ends = [
            step for step, _ in self.today.counts if step.kind in ENDS and step.source == self.step.source
        ]
        same = [step for step in ends if goes_to(step) == goes_to(self.step) and stays_on(self.today, step)]
        return tuple(same) if not self.step.whole else ()

    def _hung_from(self) -> str:
        """The outlet that the machine's cord hangs from; empty where no cord hangs."""
        for step, _ in self.today.of(self.machine, "outlet"):
            key = (step.wanted or step.item).outlet
            if key.run in KIT_RECIPE:
                return f"the outlet {key.place}" if key.beside_panel else f"the outlet at {key.place}"
        return ""

    def _way(self) -> str:
        return f"from {self._hung_from()} to {self.at}"

    def _with_ends(self) -> str:
        ends = [piece(step.item) for step in self._along_with()]
        words = f"{piece(self.step.item)}, {self.today.source(self.step)}"
        if self.step.whole:
            return f"{words}, with its ends"
        return f"{words}, with {' and '.join(ends)} on it" if ends else words

    # ends and kits --------------------------------------------------------------------------------

    def end(self) -> Iterator[Draft]:
        """A plug or connector: off an old cord, onto another, or onto the shelf."""
        step, today = self.step, self.today
        kept = step.act is Act.KEEP and any(
            cable.act is Act.KEEP for cable, _ in today.of(self.machine, "cord")
        )
        if kept:
            return
        on = stays_on(today, step)
        who = self.doers.of(self.machine, _END, self.doers.owner)
        if step.source and not on:
            words = f"take {piece(step.item)} off {today.old_cord(step.source)}"
            place = today.circuit_place(step.source)
            yield Draft.of(Phase.OUT, 1, place, who, words, None, machine=step.source, frees=(step,))
        if step.act is Act.BACK_TO_SHELF:
            if not on:
                yield self._to_the_shelf(f"{piece(step.item)}, {today.source(step)}")
        elif on:
            words = f"{piece(step.item)} stays on {today.old_cord(step.source)}"
            yield Draft.of(Phase.CORDS, 1, self.at, who, words, step)
        else:
            words = f"put {piece(step.item)} on the {whose(self.name)} cord, {today.source(step)}"
            yield replace(Draft.of(Phase.CORDS, 1, self.at, who, words, step), made=True)

    def kit(self) -> Iterator[Draft]:
        """What a cord hangs from: hung anew, hung elsewhere, or onto the shelf; one that stays is left alone."""
        step, today = self.step, self.today
        if step.source and (step.act is Act.BACK_TO_SHELF or not today.hangs_on(step)):
            place, who = today.circuit_place(step.source), self._hanger(step.source)
            words = f"take down the {piece(step.item)} of {today.old_cord(step.source)}"
            yield Draft.of(Phase.OUT, 2, place, who, words, None, machine=step.source, frees=(step,))
        elif step.source:
            return
        if step.act is Act.BACK_TO_SHELF:
            yield self._to_the_shelf(f"{piece(step.item)}, {today.source(step)}")
        elif not _found_parts(today, step):
            words = f"hang the {piece(step.item)} for the {whose(self.name)} cord, {today.source(step)}"
            yield Draft.of(Phase.CORDS, 3, self.at, self._hanger(self.machine), words, step)

    def part(self) -> Iterator[Draft]:
        """A part that is not bought of what is made anew: of a kit, or of a machine's own plug."""
        step = self.step
        if step.act is Act.BUY or (plain(step) and step.source == ""):
            return
        if step.source:
            place = self.today.circuit_place(step.source)
            words = f"take {piece(step.item)} off {self.today.old_cord(step.source)}"
            who = self.doers.of(step.source, _END, self.doers.owner)
            yield Draft.of(Phase.OUT, 1, place, who, words, None, machine=step.source, frees=(step,))
        if step.within == Made.OWN_PLUG:
            yield from self.own_plug(dict(step.item.spec.equal)["configuration"])
            return
        words = f"hang the {piece(step.item)} for the {whose(self.name)} cord, {self.today.source(step)}"
        yield Draft.of(Phase.CORDS, 3, self.at, self._hanger(self.machine), words, step)

    def own_plug(self, what: str) -> Iterator[Draft]:
        """Another plug on the machine itself, or the first one on the bare ends that it came with."""
        who = self.doers.of(self.machine, ("machine plug",), self.doers.owner)
        fed = self.today.by_drive(self.machine)
        words = f"change the {whose(self.name)} own plug to {what}, {self.today.source(self.step)}"
        if _bare_ends(self.today, self.machine):
            code = dict(self.step.item.spec.equal).get("configuration", "")
            bare = f"the bare ends of the {whose(self.name)} own cord"
            words = f"put a plug {code} on {bare}, {self.today.source(self.step)}"
        if fed is not None:
            wire = f"at least {fed.size.awg} AWG"
            if any(drive.act is Act.BUY for drive, _ in self.today.of(self.machine, DRIVE)):
                cord = f"lead into the {whose(self.name)} drive, {wire}, {LEAD_FT} ft"
                words = f"put {what} on the {cord}, {self.today.source(self.step)}"
            else:
                cord = f"line cord of the {whose(self.name)} drive, {wire},"
                words = f"change the plug on the {cord} to {what}, {self.today.source(self.step)}"
        yield replace(Draft.of(Phase.MOVE, 2, self.at, who, words, self.step), made=True)

    def _hanger(self, machine: str) -> str:
        return self.doers.of(machine, ("overhead cord", "pendant", "cord set"), self.doers.owner)

    def _to_the_shelf(self, words: str) -> Draft:
        again = ", used again later" if self.step.wanted is not None else ""
        place = self.today.circuit_place(self.machine)
        return Draft.of(Phase.SHELF, 0, place, self.doers.owner, f"to the shelf: {words}{again}", self.step)
