"""Today's work in a shop that is there as one numbered list: a thing is always freed before it is put in elsewhere."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from costplan.circuits.facts import Facts
from costplan.circuits.outlet_key import DISCONNECT
from costplan.circuits.outlets import place_of
from costplan.circuits.run_parts import RUN_RECIPE
from costplan.circuits.things import OUTLETS, Made
from costplan.ledger.lines import LineKind
from costplan.ledger.steps import Act, Step
from costplan.model.choices import Method
from costplan.model.labels import LABELS
from costplan.model.layouts import MovedToday, TakenAway
from costplan.program.ranked import Ranked
from costplan.reports.before_after import panel_tables
from costplan.reports.pairing import pair_note
from costplan.reports.work_checks import check_drafts, tested_cords
from costplan.reports.work_cords import CORD_KINDS, cord_drafts, stays_hanging
from costplan.reports.work_directory import directory_drafts
from costplan.reports.work_draft import Draft, Phase
from costplan.reports.work_moves import Going, in_turn
from costplan.reports.work_words import AT_RUN, LEFT, Doers, Today, piece, plain, wired_in

DEVICES = {"drive": "drive", "motor": "motor swap"}
"""Kinds of parts between an outlet and its machine, with the recipe of putting one in."""


@dataclass(frozen=True, slots=True)
class WorkLine:
    """One line of the list: when, where, who, what.

    `step` is the step of the plan that it does, None for a line that only prepares or ends others; `frees` are the
    steps whose thing is free from here on, `along` those that it does as well. `count` is how many alike, of machines of
    one group.
    """

    number: int
    phase: Phase
    place: str
    who: str
    words: str
    machine: str = ""
    step: Step | None = None
    frees: tuple[Step, ...] = ()
    count: int = 1
    along: tuple[Step, ...] = ()
    wiring: bool = False
    """Whether it is work on the wires of a circuit, or in a panel."""


@dataclass(frozen=True, slots=True)
class WorkList:
    """Today's work: the lines in an order that works, and the machines that only keep what they have."""

    lines: tuple[WorkLine, ...]
    kept: tuple[str, ...]
    hired: bool
    """Whether somebody is hired for any of it."""


def work_list(facts: Facts, ranked: Ranked) -> WorkList:
    """The list of a plan's work today."""
    writer = _Writer(facts, ranked)
    drafts = sorted(writer.drafts(), key=lambda draft: draft.order)
    lines = tuple(
        WorkLine(
            number,
            draft.phase,
            draft.place,
            draft.who,
            draft.words if draft.count == 1 else f"{draft.count} x {draft.words}",
            writer.today.name(draft.machine) if draft.machine else "",
            draft.step,
            draft.frees,
            draft.count,
            draft.along,
            draft.circuit is not None,
        )
        for number, draft in enumerate(drafts, 1)
    )
    kept = [m.name for m in facts.shop.machines if m.name in writer.today.by_machine]
    names = dict.fromkeys(writer.today.name(name) for name in kept if not writer.busy(name))
    owners = {writer.doers.owner}
    hired = any(line.who not in owners for line in lines) or any(
        line.year == 0 and line.kind is LineKind.LABOR and line.crew not in owners for line in ranked.lines
    )
    return WorkList(lines, tuple(names), hired)


class _Writer:
    def __init__(self, facts: Facts, ranked: Ranked) -> None:
        self.facts, self.ranked = facts, ranked
        self.today, self.doers = Today(facts, ranked), Doers(facts, ranked)
        self.along = {
            p.machine.name: p.circuit.outlet_place for p in self.today.there.powered if p.comes_along
        }

    def drafts(self) -> Iterator[Draft]:
        """Every line, in no order yet."""
        cords = list(cord_drafts(self.today, self.doers))
        work = [*self._steps(), *cords, *self._along(), *self._gear()]
        machines = [*self._unplugged(), *self._moves(), *self._plugged_in()]
        hired = any(draft.who != self.doers.owner for draft in (*work, *machines))
        who = self.doers.hired if hired else self.doers.owner
        looked = [*check_drafts(self.today, self.doers, who), *tested_cords(self.doers, cords)]
        yield from (*work, *machines, *looked, *self._off_and_on(work))
        yield from directory_drafts(self.today, who)
        yield from self._closed(work, who)

    def busy(self, machine: str) -> bool:
        """Whether anything is done today to what a machine has or gets."""
        return self._changes(machine) > 0

    def _changes(self, machine: str) -> int:
        """How many machines of a group something is done to; of one machine, whether."""
        known = self.facts.machines[machine]
        if isinstance(known, MovedToday | TakenAway) or machine in self.along:
            return known.count
        kinds: dict[str, int] = {}
        for step, count in self.today.counts:
            gets = step.machine == machine and not plain(step)
            gives = step.source == machine != step.machine
            hung = step.machine == machine and step.kind == "cord" and plain(step)
            if gets or gives or (hung and not self.today.hangs_on(step)):
                key = f"{step.kind} {gets}"
                kinds[key] = kinds.get(key, 0) + count
        return min(max(kinds.values(), default=0), known.count)

    # outlets, their ends, what is left ----------------------------------------------------------------

    def _steps(self) -> Iterator[Draft]:
        for step, count in self.today.counts:
            for draft in self._of_step(step):
                yield replace(draft, count=count)

    def _of_step(self, step: Step) -> Iterable[Draft]:
        if step.kind in CORD_KINDS or step.within in CORD_KINDS:
            return ()
        if step.act in LEFT:
            return self._left(step)
        if step.kind == "outlet":
            return self._new_run(step) if step.act is Act.BUY else ()
        if Made.OWN_SWITCH in (step.kind, step.within):
            return self._switch(step)
        if step.kind in AT_RUN:
            return self._receptacle(step)
        if step.kind == "breaker":
            return self._breaker(step)
        if step.kind in DEVICES:
            return self._device(step)
        return self._other(step)

    def _left(self, step: Step) -> Iterator[Draft]:
        again = ", used again later" if step.wanted is not None else ""
        if step.kind == "breaker":
            yield from self._breaker_out(step)
            words = f"to the shelf: {self.today.breaker(step)}, {self.today.source(step)}{again}"
            place = step.out_of.outlet.panel if step.out_of is not None else ""
            yield Draft.of(Phase.SHELF, 2, place, self.doers.owner, words, step)
            return
        if step.kind in OUTLETS:
            place = step.item.outlet.place
            if step.act is Act.MAKE_SAFE:
                who = self.doers.of(step.machine, ["make safe"], self.doers.hired)
                words = f"make safe {piece(step.item)}"
                yield Draft.of(Phase.OUT, 6, place, who, words, step, circuit=step.item, in_panel=True)
            else:
                words = f"{piece(step.item)} stays live and unused{again}: label it so"
                yield Draft.of(Phase.CHECK, 1, place, self.doers.owner, words, step)
            return
        if step.kind in DEVICES:
            yield self._device_off(step)
        place = self.today.circuit_place(step.machine)
        yield Draft.of(
            Phase.SHELF, 3, place, self.doers.owner, f"to the shelf: {piece(step.item)}{again}", step
        )

    def _new_run(self, step: Step) -> Iterator[Draft]:
        key, method = step.item.outlet, step.item.outlet.run
        assert method is not None
        feet = next(
            (p.circuit.run_ft for p in self.today.there.powered if p.circuit.outlet.item == step.item), 0
        )
        put_in = any(end.within == "outlet" and end.act is not Act.BUY for end in self._ends_of(step))
        made = "run and box" if put_in else f"run, box and receptacle {key.end}"
        made = "run and disconnect" if key.end == DISCONNECT else made
        long = f", {feet} ft of run with ends and waste" if feet else ""
        place = key.place
        what = (
            f"outlet {place}" if key.beside_panel else f"{LABELS.methods[method]} from {key.panel} to {place}"
        )
        words = f"new {what}{long}: {made}"
        who = self.doers.of(step.machine, [RUN_RECIPE[method], "receptacle"], self.doers.hired)
        yield Draft.of(Phase.IN, 0, place, who, words, step, circuit=step.item, in_panel=True, new=True)

    def _ends_of(self, outlet: Step) -> list[Step]:
        """What is put in, by steps of its own, at the end of a run that is made anew."""
        runs = (outlet.item, outlet.wanted)
        return [step for step, _ in self.today.of(outlet.machine, *AT_RUN) if step.run in runs]

    def _receptacle(self, step: Step) -> Iterator[Draft]:
        """A receptacle or disconnect put in; the one that it takes the place of is not used again."""
        if (step.within and step.act is Act.BUY) or (step.act is Act.KEEP and step.run is None):
            return
        place = step.run.outlet.place if step.run is not None else self.facts.machines[step.machine].at
        ends = "receptacle" if step.kind == "receptacle" else "disconnect"
        recipes = [ends] if step.within or ends == "disconnect" else ["change receptacle"]
        who = self.doers.of(step.machine, recipes, self.doers.hired)
        old = self.today.old_end(step)
        if old:
            kind = "disconnect" if old == DISCONNECT else f"{old} receptacle"
            words = f"take out the {kind} (not used again)"
            yield Draft.of(Phase.OUT, 4, place, who, words, None, machine=step.machine, circuit=step.run)
        words = f"put in {piece(step.item)}, {self.today.source(step)}"
        new = bool(step.within)
        yield Draft.of(Phase.IN, 1, place, who, words, step, circuit=step.run, new=new)

    def _breaker(self, step: Step) -> Iterator[Draft]:
        if step.act is Act.SHARE or step.run is None:
            return
        yield from self._breaker_out(step)
        run = step.run.outlet
        who = self._panel_worker(step.machine, new=bool(step.within))
        into = self.today.circuit(step.machine, step.run)
        if not step.within and not self.today.old_breaker_goes_on(step):
            words = f"take the old breaker out of {into} (not used again)"
            yield Draft.of(
                Phase.OUT,
                5,
                run.panel,
                who,
                words,
                None,
                machine=step.machine,
                circuit=step.run,
                in_panel=True,
            )
        words = f"put in {self.today.breaker(step)}, {self.today.source(step)}, for {into}"
        new = bool(step.within)
        yield Draft.of(Phase.IN, 2, run.panel, who, words, step, circuit=step.run, in_panel=True, new=new)

    def _breaker_out(self, step: Step) -> Iterator[Draft]:
        """A breaker is taken out of the circuit that it protects today."""
        if step.out_of is None:
            return
        giver = self.today.outlet_step(step.source, step.out_of)
        safe = giver is not None and giver.act is Act.MAKE_SAFE
        recipes = ["make safe"] if safe else ["change breaker"]
        who = self.doers.of(step.source, recipes, self.doers.hired)
        out = self.today.circuit(step.source, step.out_of)
        panel = step.out_of.outlet.panel
        words = f"take the {self.today.breaker(step)} out of {out}"
        yield Draft.of(
            Phase.OUT,
            5,
            panel,
            who,
            words,
            None,
            machine=step.source,
            frees=(step,),
            circuit=step.out_of,
            in_panel=True,
        )

    def _panel_worker(self, machine: str, *, new: bool) -> str:
        return self.doers.of(machine, ["breaker"] if new else ["change breaker"], self.doers.hired)

    def _device(self, step: Step) -> Iterator[Draft]:
        if plain(step):
            return
        if step.act is Act.TAKE_OVER:
            yield self._device_off(step)
        (who, _), *others = self.doers.each(step.machine, DEVICES[step.kind], self.doers.hired)
        at, name = self.facts.machines[step.machine].at, self.today.name(step.machine)
        words = f"fit {piece(step.item)} to the {name}, {self.today.source(step)}"
        # A machine gets it at its new place, so it is moved before.
        yield Draft.of(Phase.MOVE, 1, at, who, words, step)
        for other, tasks in others:
            words = f"{' and '.join(tasks)}: {name}"
            yield Draft.of(Phase.MOVE, 2, at, other, words, machine=step.machine)

    def _switch(self, step: Step) -> Iterator[Draft]:
        """The switch at a machine: said once, by the part that is not bought where there is one."""
        found = [
            other for other, _ in self.today.of(step.machine, *AT_RUN) if other.within == Made.OWN_SWITCH
        ]
        said_by_part = any(other.act is not Act.BUY for other in found)
        if (
            plain(step)
            or (step.kind == Made.OWN_SWITCH) == said_by_part
            or (step.within and step.act is Act.BUY)
        ):
            return
        who = self.doers.of(step.machine, ("disconnect",), self.doers.hired)
        what = "a disconnect marked for its motor" if step.kind == Made.OWN_SWITCH else piece(step.item)
        words = f"fit {what} to the {self.today.name(step.machine)}, {self.today.source(step)}"
        yield Draft.of(Phase.MOVE, 1, self.facts.machines[step.machine].at, who, words, step)

    def _device_off(self, step: Step) -> Draft:
        who = self.doers.each(step.source, DEVICES[step.kind], self.doers.hired)[0][0]
        words = f"take the {piece(step.item)} off the {self.today.name(step.source)}"
        place = self.today.stands_first(step.source)
        return Draft.of(Phase.OUT, 3, place, who, words, None, machine=step.source, frees=(step,))

    def _other(self, step: Step) -> Iterator[Draft]:
        if (
            plain(step)
            or (step.within and step.act is Act.BUY)
            or (step.kind == Made.QUOTED_OUTLET and step.act is not Act.BUY)
        ):
            return
        place = place_of(step.item.spec) or self.facts.machines[step.machine].at
        words = f"put in {piece(step.item)}, {'as quoted' if step.kind == Made.QUOTED_OUTLET else self.today.source(step)}"
        yield Draft.of(Phase.IN, 3, place, self.doers.hired, words, step)

    def _along(self) -> Iterator[Draft]:
        """Outlets that go along with their machines."""
        for powered in self.today.there.powered:
            if powered.comes_along and powered.had is not None:
                machine, new = powered.machine.name, powered.circuit.outlet_place
                who = self.doers.of(machine, [f"move {powered.way.method}"], self.doers.hired)
                words = (
                    f"move the outlet {powered.had.end} along from {powered.had.place} to {new}; "
                    "its old place is bare then"
                )
                yield Draft.of(Phase.IN, 0, new, who, words, None, machine=machine)

    def _gear(self) -> Iterator[Draft]:
        for bought in self.ranked.plan.gear:
            gear = self.facts.gear[bought.name]
            if bought.year == 0:
                at, pairs = gear.at or gear.panel or "", pair_note(self.facts, self.ranked.plan, bought)
                words = f"put in {gear.name}" + (f": {pairs}" if pairs else "")
                draft = Draft.of(Phase.IN, 0, at, self.doers.hired, words)
                yield replace(draft, count=bought.count)

    # machines -----------------------------------------------------------------------------------------

    def _unplugged(self) -> Iterator[Draft]:
        for machine in self.facts.shop.machines:
            count, now = self._changes(machine.name), machine.now
            if not count or now is None:
                continue
            place, name = self.today.circuit_place(machine.name), self.today.name(machine.name)
            if now.configuration is None:
                who, words = self.doers.hired, f"disconnect the {name} (hard-wired)"
            elif now.method in (Method.CORD, Method.CEILING):
                cord = "its cord" if now.method is Method.CORD else "its pendant cord"
                who, words = self.doers.owner, f"unplug the {name} from {cord}, and the cord from its outlet"
            else:
                who, words = self.doers.owner, f"unplug the {name} from the {now.configuration}"
            taken = tuple(
                step
                for step, _ in self.today.counts
                if step.source == machine.name != step.machine
                and (step.kind in OUTLETS or stays_hanging(self.today, step))
            )
            draft = Draft.of(Phase.OFF, 1, place, who, words, None, machine=machine.name, frees=taken)
            yield replace(draft, count=count)

    def _moves(self) -> Iterator[Draft]:
        """Machines go one after another, each to a place that is vacated."""
        for turn, moving in enumerate(in_turn(list(self._goings()))):
            going = moving.going
            machine, name = self.facts.machines[going.machine], self.today.name(going.machine)
            who = self.doers.of(going.machine, ["move machine"], self.doers.owner)
            if moving.aside:
                known = isinstance(machine, MovedToday)
                yet = "" if known else ", if it is not moved yet"
                words = f"set the {name} aside first{yet}: others wait for its place, it for theirs"
            elif isinstance(machine, TakenAway):
                words = f"take the {name} away from {going.stands}: it is taken away for good"
            elif isinstance(machine, MovedToday):
                words = f"move the {name} from {going.stands} to {going.to}"
            else:
                words = f"{name} stands at {going.to}, its circuit ended at {going.stands}: move it if it is not there yet"
            place = going.stands if moving.aside else machine.at
            draft = Draft.of(Phase.MOVE, 0, place, who, words, None, machine=going.machine)
            yield replace(draft, count=self._changes(going.machine), after=turn)

    def _goings(self) -> Iterator[Going]:
        """Machines that go away from where they, or their circuits, are today."""
        for machine in self.facts.shop.machines:
            before = machine.now.place if machine.now is not None else None
            if isinstance(machine, TakenAway):
                yield Going(machine.name, machine.at, "")
            elif isinstance(machine, MovedToday):
                yield Going(machine.name, machine.stood_at, machine.at)
            elif before is not None and before != machine.at and self.busy(machine.name):
                yield Going(machine.name, before, machine.at)

    def _plugged_in(self) -> Iterator[Draft]:
        """Every machine that something is done to is plugged in again, whatever its outlet is then."""
        for machine in self.facts.shop.machines:
            count = self._changes(machine.name)
            outlets = self.today.of(machine.name, *OUTLETS)
            left = count
            for step, alike in sorted(outlets, key=lambda entry: plain(entry[0])):
                many = min(alike, left)
                if many:
                    left -= many
                    yield replace(self._plug_in(machine.name, step), count=many)

    def _plug_in(self, machine: str, step: Step) -> Draft:
        name, known = self.today.name(machine), self.facts.machines[machine]
        done = None if step.act is Act.BUY else step
        if step.kind == Made.QUOTED_OUTLET or step.wanted is None:
            words = f"plug the {name} into {piece(step.item)}"
            return Draft.of(Phase.MOVE, 6, known.at, self.doers.owner, words, done, machine=machine)
        key = step.wanted.outlet
        place, end = self.along.get(machine, key.place), self._end(step)
        if end == DISCONNECT:
            words = f"connect the {name} at {place} (hard-wired)"
            return Draft.of(Phase.MOVE, 6, known.at, self.doers.hired, words, done, machine=machine)
        run = f" ({self.today.fed(machine, step.wanted)})" if self._ambiguous(step) else ""
        turns = ", which others use by turns" if step.act is Act.SHARE else ""
        if key.beside_panel:
            wired = wired_in(self.ranked, machine)
            then = f"it is wired into the {name} already" if wired else f"and the {name} into the cord"
            words = f"plug the cord into the {end} {place}{run}{turns}, {then}"
        elif key.run is Method.CEILING:
            words = (
                f"plug the pendant cord into the {end} at {place}{run}{turns}, and the {name} into the cord"
            )
        else:
            words = f"plug the {name} into the {end} at {place}{run}{turns}"
        return Draft.of(Phase.MOVE, 6, known.at, self.doers.owner, words, done, machine=machine)

    def _end(self, step: Step) -> str:
        """What the run of an outlet ends in after today's work."""
        runs = (step.item, step.wanted)
        for other, _ in self.today.of(step.machine, *AT_RUN):
            if other.run in runs and not plain(other):
                return dict(other.item.spec.equal).get("configuration", DISCONNECT)
        assert step.wanted is not None
        return step.wanted.outlet.end

    def _ambiguous(self, step: Step) -> bool:
        """Whether more than one outlet is at the place of an outlet today."""
        assert step.wanted is not None
        place = step.wanted.outlet.place
        return sum(had.place == place for had in self.today.there.had) > (step.act is not Act.BUY)

    # circuits -----------------------------------------------------------------------------------------

    def _off_and_on(self, work: Iterable[Draft]) -> Iterator[Draft]:
        """What is switched off before all, and on again before anything is plugged in."""
        wiring = [(draft, draft.circuit.outlet.panel) for draft in work if draft.circuit is not None]
        for panel in dict.fromkeys(panel for _, panel in wiring):
            mine = [draft for draft, of in wiring if of == panel]
            circuits = sorted(
                {self.today.circuit(d.machine, d.circuit) for d in mine if d.circuit and not d.new}
            )
            who = next((draft.who for draft in mine if draft.who != self.doers.owner), self.doers.owner)
            opened = any(draft.in_panel for draft in mine)
            main = ["the main, before the panel is opened"] if opened else []
            words = f"switch off, lock off and verify dead: {'; '.join([*circuits, *main])}"
            yield Draft.of(Phase.OFF, 0, panel, who, words)
            words = "switch on again what is in use, and test every outlet worked on before anything is plugged in"
            yield Draft.of(Phase.MOVE, 4, panel, who, words)

    def _closed(self, work: Iterable[Draft], who: str) -> Iterator[Draft]:
        """Panels are closed before they are switched on again, with a filler plate in every opening that is left."""
        opened = [
            draft.circuit.outlet.panel for draft in work if draft.circuit is not None and draft.in_panel
        ]
        tables = panel_tables(self.facts, self.ranked, self.today.there)
        left = {table.panel: table.opened for table in tables if table.opened}
        for panel in dict.fromkeys([*opened, *left]):
            openings = "1 opening" if left.get(panel) == 1 else f"{left.get(panel)} openings"
            close = f"close {openings} in the panel (filler plates), " if panel in left else ""
            yield Draft.of(Phase.IN, 9, panel, who, f"{close}cover on")
