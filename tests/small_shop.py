"""The smallest valid shop and catalog, as texts that tests write, break and read. All of it is invented."""

from pathlib import Path

SHOP = """\
shop: Small garage (invented)
invented: true
catalog: catalog
today: 2025-06-20
years: 6
money:
  discount_rate: 3 %
building:
  ceiling_height: 10 ft
panels:
  - name: main
    system: 120/240 single-phase
    breakers: family A
    spaces_free: 6
    place: panel wall
places:
  - {name: panel wall, at: [0, 0]}
  - {name: bench, at: [12, 4]}
  - {name: door, at: [20, 18]}
routes:
  - {from: main, to: bench, fixed: 28 ft, cord: 22 ft}
machines:
  - name: table saw
    at: bench
    volts: 240
    hp: 3
    plug: NEMA 6-20
  - name: sander
    at: door
    volts: 120
    amps: 12.8 A
scenarios:
  - name: stays
    weight: 60 %
  - name: moves
    weight: 40 %
    events:
      - {year: 2, machine: table saw, move: door}
      - {year: 4, machine: sander, leaves: true}
cords:
  slack: [0 ft, 15 ft]
"""

KINDS = """\
kinds:
  - kind: receptacle
    attributes: [configuration]
    reject: {used: 10 %}
  - kind: plug
    attributes: [configuration]
    portable: true
  - kind: breaker
    attributes: [family, poles, rating_a, ground_fault, volts]
    must_be_new: true
  - kind: building cable
    attributes: [awg, conductors, ground_awg]
    sold: cut length
  - kind: cord
    attributes: [awg, conductors, volts, service]
    sold: cut length
    portable: true
    life: 8
"""

PARTS = """\
parts:
  - id: R-6-20
    kind: receptacle
    name: receptacle 6-20
    attributes: {configuration: NEMA 6-20}
  - id: P-6-20
    kind: plug
    name: plug 6-20
    attributes: {configuration: NEMA 6-20}
  - id: BR-2-20
    kind: breaker
    name: two-pole breaker 20 A
    attributes: {family: family A, poles: 2, rating_a: 20, ground_fault: false, volts: 240}
  - id: NM-12-2
    kind: building cable
    name: building cable 12/2
    attributes: {awg: 12, conductors: 2, ground_awg: 12}
  - id: SO-12-3
    kind: cord
    name: hard service cord 12/3
    attributes: {awg: 12, conductors: 3, volts: 600, service: hard}
"""

SUPPLIERS = """\
suppliers:
  - {id: counter, name: Example Counter, tax: 7 %}
  - {id: surplus, name: Example Surplus, delivery: 15.00}
"""

LABOR = """\
tasks:
  - {id: run-cable, name: run cable, hours: [1, 1.5, 3], who: [electrician], permit: true}
  - {id: wire-device, name: wire a device, hours: [0.2, 0.3, 0.6], who: [owner, electrician]}
crews:
  - {name: owner, role: owner, rate: 25, pace: 0.6}
  - {name: one electrician, role: electrician, rate: 95, call_out: 80}
"""

RECIPES = """\
recipes:
  wall drop:
    extra: 5 ft
    tasks: [{task: run-cable}]
  conduit drop: {}
  armored drop: {}
  ceiling outlet: {}
  outlet beside panel:
    tasks: [{task: run-cable, quantity: 0.3}]
  receptacle:
    tasks: [{task: wire-device}]
  disconnect: {}
  breaker:
    tasks: [{task: wire-device}]
  ground-fault breaker: {}
  machine plug:
    tasks: [{task: wire-device}]
  cord set:
    extra: 4 ft
    tasks: [{task: wire-device, quantity: 2}]
  cord end: {}
  overhead cord: {}
  pendant: {}
  change receptacle: {}
  change breaker: {}
  change cord end: {}
  move machine: {}
  make safe: {}
  take out: {}
  patch: {}
  yearly cord care: {}
"""

OFFERS = """\
part,supplier,condition,price,per,available,seen,note
R-6-20,counter,new,12.00,each,,2025-06-01,
R-6-20,surplus,used,3.00,each,6,2025-05-10,
P-6-20,counter,new,15.00,each,,2025-06-01,
BR-2-20,counter,new,17.00,each,,2025-06-01,
NM-12-2,counter,new,1.25,ft,,2025-06-01,
SO-12-3,counter,new,2.00,ft,,2025-06-01,
SO-12-3,surplus,new-old-stock,60.00,piece of 47 ft,2,2025-05-10,
"""

FILES = {
    "garage.yaml": SHOP,
    "catalog/parts.yaml": PARTS,
    "catalog/kinds.yaml": KINDS,
    "catalog/suppliers.yaml": SUPPLIERS,
    "catalog/labor.yaml": LABOR,
    "catalog/recipes.yaml": RECIPES,
    "catalog/offers.csv": OFFERS,
}
"""Every file of the shop by its path."""


def write_small_shop(folder: Path, changed: dict[str, str | bytes | None] | None = None) -> Path:
    """Write the shop into a folder and return the path of the shop file.

    `changed` holds whole files in place of the valid ones; None leaves a file out.
    """
    (folder / "catalog").mkdir(parents=True, exist_ok=True)
    for name, text in {**FILES, **(changed or {})}.items():
        if text is not None:
            content = text if isinstance(text, bytes) else text.encode("utf-8")
            (folder / name).write_bytes(content)
    return folder / "garage.yaml"


def with_change(file: str, old: str, new: str) -> dict[str, str | bytes | None]:
    """One file with the first `old` in it written as `new`, which must be there."""
    text = FILES[file]
    if old not in text:
        raise ValueError(f"{old!r} is not in {file}")
    return {file: text.replace(old, new, 1)}


# the same shop with shared gear -----------------------------------------------------------------------

_MILL = """\
  - name: mill
    at: door
    volts: 240
    phases: 3
    hp: 5
    starts_by_itself: false
    ways: {forbid_supply: {single-phase motor: its head is geared}}
"""

_GEAR = """\
service:
  amps: 100 A
  measured_peak: {amps: 40 A, seen: 2025-05-31, days: 30}
  at_once: [[table saw], [mill]]
gear:
  - name: converter
    kind: phase converter
    part: CV-5
    panel_part: PN-3-60
    fed_from: main
    at: door
    hours_per_year: 150
  - name: far panel
    kind: subpanel
    panel_part: PN-1-60
    fed_from: main
    at: door
  - name: tandem breakers
    kind: tandem breaker
    panel: main
    at_most: 2
  - name: larger service
    kind: service upgrade
    to: 200 A
    fees: {utility connection: 400.00}
  - name: load manager
    kind: load manager
    part: LM-60
    machines: [mill, table saw]
    holds_to: 20 A
"""

GEAR_FILES = FILES | {
    "garage.yaml": SHOP.replace(
        "    place: panel wall\n",
        "    place: panel wall\n    tandems: 2\n    one_pole_circuits:\n"
        '      - {breaker: 20 A, awg: "12", count: 4, test_button: false, shared_neutral: false, tied: false}\n',
    )
    .replace("  discount_rate: 3 %\n", "  {discount_rate: 3 %, electricity_per_kwh: 0.15}\n")
    .replace("scenarios:\n", _MILL + "scenarios:\n")
    .replace("cords:\n", _GEAR + "cords:\n"),
    "catalog/kinds.yaml": KINDS
    + """\
  - kind: panel
    attributes: [family, phases, rating_a, spaces, volts]
  - kind: phase converter
    attributes: [volts, largest_motor_hp, output_a, input_a, idle_w, efficiency]
    portable: true
    life: 20
  - kind: load manager
    attributes: [rating_a]
  - kind: tandem breaker
    attributes: [family, rating_a, second_rating_a, volts]
  - kind: service equipment
    attributes: [rating_a, volts]
""",
    "catalog/parts.yaml": PARTS
    + """\
  - id: PN-1-60
    kind: panel
    name: single-phase panel 60 A
    attributes: {family: family A, phases: 1, rating_a: 60, spaces: 8, volts: 240}
  - id: PN-3-60
    kind: panel
    name: three-phase panel 60 A
    attributes: {family: family A, phases: 3, rating_a: 60, spaces: 12, volts: 240}
  - id: CV-5
    kind: phase converter
    name: phase converter 5 hp
    attributes: {volts: 240, largest_motor_hp: 5, output_a: 20, input_a: 36, idle_w: 400, efficiency: 0.9}
  - id: LM-60
    kind: load manager
    name: load manager 60 A
    attributes: {rating_a: 60}
  - id: TB-20
    kind: tandem breaker
    name: tandem breaker 20 A
    attributes: {family: family A, rating_a: 20, second_rating_a: 20, volts: 240}
  - id: SE-200
    kind: service equipment
    name: service equipment 200 A
    attributes: {rating_a: 200, volts: 240}
""",
    "catalog/recipes.yaml": RECIPES
    + """\
  feeder: {}
  subpanel: {}
  phase converter: {}
  service upgrade: {}
  load manager: {}
  tandem breaker: {}
""",
    "catalog/offers.csv": OFFERS
    + """\
PN-1-60,counter,new,60.00,each,,2025-06-01,
PN-3-60,counter,new,95.00,each,,2025-06-01,
CV-5,counter,new,1200.00,each,,2025-06-01,
LM-60,counter,new,280.00,each,,2025-06-01,
TB-20,counter,new,24.00,each,,2025-06-01,
SE-200,counter,new,420.00,each,,2025-06-01,
""",
}
"""The shop with gear of every kind but the utility's, and a machine that needs the converter."""


def with_gear_change(file: str, old: str, new: str) -> dict[str, str | bytes | None]:
    """The files of the shop with gear, the first `old` in one of them written as `new`."""
    if old not in GEAR_FILES[file]:
        raise ValueError(f"{old!r} is not in {file}")
    return {**GEAR_FILES, file: GEAR_FILES[file].replace(old, new, 1)}
