"""Sizing a machine's circuit, the ways of powering it, and what a change of it takes.

Its modules:

- `sizing`, `currents`, `breaker`, `wire`, `ground_fault`, `receptacle_marks`,
  `size_types`, `fuses`: one circuit from a nameplate, with the reason for every figure: drop and ground, the
  current, the breaker, the wire, ground fault, receptacles that are tamper-resistant or for damp places, fuses of
  a hard-wired machine.
- `ways`, `facts`, `recipes`, `sold`: ways of powering; shop and catalog with look-ups; recipes expanded into what
  they take; what circuits may know of prices.
- `numbered`, `outlet_key`, `things`, `needs`, `quoted_work`: records known by whole numbers; what an outlet is known
  by; kinds of things that no catalog sells, and what ties a thing; specs, needs, work, charges, stock needs, returns;
  what was quoted, as a bundle.
- `heavier`, `wire_on_offer`: the wire a run is bought with, as heavy as the advice on voltage drop asks for, and pigtails;
  that wire limited to what is sold.
- `run_parts`, `cord_length`: a run's wires, conduit and cable, its breaker and its disconnect, as needs with the
  ratings they must have; how long a machine's cord must be.
- `circuit`, `stages`, `remembered`, `change`, `still_serves`, `taking_out`: a circuit built from scratch, each stage
  of it once; what lies between two circuits; what of the one that is there still serves, and what its sizes are
  then; what it takes to make an outlet safe that its machine leaves, and to take it out when the lease ends.
- `outlets`, `outlet_made`: what tells outlets, plugs and cords apart, and which serves for which; an outlet
  as it stands, as a thing in stock.
- `walls`, `buildings`, `grips`, `clamps`: where nonmetallic cable may be laid; runs and cords that would leave
  their building; grips that fit the jacket of a cord wired into a machine; clamps of what a cord ends in and
  hangs from.
- `lives`, `wear`: how long parts last at a machine; which parts of a thing wear out, and what replacing one
  takes.
- `volts`: which of a plate's volts a panel gives, and the load as it draws there.
- `supply`, `motor_swap`, `transformer`: what stands between a circuit and a machine: a drive, another motor
  that matches, a transformer for other volts.
- `listing`: whether a motor's circuit turns on the listing of its machine.
- `machine_lead`: the cord from a machine that came without one to the plug that it is given.
- `own_cord`, `plug_marks`: which plug may go on the cord that a machine came with; horsepower marks of a bare
  motor's plug, the larger one or the switch that stands in.
- `switch`: the switch at a machine as a thing, with the grips of its cords and the lead to the motor; the lead
  of a drive with its grips.
- `spaces_needed`: the spaces that all machines take at least, as `check` and `start` ask.
- `grounds`, `as_it_stands`, `runs_at_once`, `cords_as_they_stand`: receptacles without a ground contact,
  grounds too thin for a breaker; what of a present circuit is unsafe; what of a present receptacle or cord
  does not go with its machine; and what runs at once where nobody said, as `check` asks.
- `shared_gear`, `demand`, `capacity`, `losses`: shared gear resolved; loads on the lines of one limit; limits and
  which loads hang on them; electricity lost.
- `present`, `shelf`: the circuit a machine has now; the shelf as stock, whole cords among it.

Every way of powering a machine is a **run with two ends**. `circuits.change` compares a circuit as it is with
the circuit as it must be, piece by piece, and gives a `Change`: work that is due anyway (`always`),
`StockNeed`s (bought unless stock serves, with what each case takes) and `Return`s (what is set free, and what
it takes when nobody uses it again, such as making it safe). It knows no money, years or stock. Cords and
drops differ only in what a change keeps.

**What is there** (`now:`, `shelf:`) is stock today: `circuits.present` puts the present circuit into the
terms of the wanted one and lets `change` compare them; a cord with both ends is its three pieces, or used
whole.
"""
