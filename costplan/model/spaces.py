"""What the code calls the space at a place: the place's own words, else the shop's."""

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace

from costplan.model.choices import Construction, ListedPlace, Occupancy
from costplan.model.conditions import SpaceWords
from costplan.model.shop import Shop


@dataclass(frozen=True, slots=True)
class Space:
    """A space to the code; None where nobody said."""

    occupancy: Occupancy
    ground_fault_place: bool | ListedPlace | None
    construction: Construction | None
    finished_walls: bool | None
    detached: bool | None = None
    wood_dust: bool | None = None
    flammable_vapors: bool | None = None

    @property
    def damp(self) -> bool:
        """Whether the file says that it is damp."""
        return self.ground_fault_place is ListedPlace.DAMP


def spaces(shop: Shop) -> Mapping[str, Space]:
    """The space at every place; under the empty name that of the shop, which holds where a place says nothing."""
    code, building = shop.code, shop.building
    whole = Space(
        code.occupancy,
        code.ground_fault_place,
        building.construction,
        building.finished_walls,
        building.detached,
        building.wood_dust,
        building.flammable_vapors,
    )
    return {"": whole} | {spot.name: told(whole, spot) for spot in shop.places}


def told(whole: Space, words: SpaceWords) -> Space:
    """A space by its own words, and by those of the whole where it says nothing."""
    said = {field.name: getattr(words, field.name) for field in fields(Space)}
    return replace(whole, **{name: value for name, value in said.items() if value is not None})


def cable_refused(space: Space) -> str | None:
    """Why nonmetallic cable is not laid in the walls of a space; None where it is.

    Nowhere in a damp place (334.12(B)(4)). Dwellings and their garages: any type of construction; elsewhere types III, IV and V
    only, in walls behind a finish that stands fire for 15 minutes. What nobody said keeps it out. Source: NFPA 70 334.10(1),
    (3), (5), 334.12, from memory.
    """
    if space.damp:
        return "nonmetallic cable is not laid in a damp place (NEC 334.12(B)): conduit is, and armored cable marked for it"
    if space.occupancy.dwelling:
        return None
    outside = f"outside dwellings ({space.occupancy}) nonmetallic cable"
    if space.construction is None:
        return (
            f"{outside} goes into buildings of types III, IV and V only (NEC 334.10), and the type is not known: ask the "
            "landlord or the permit office, then write construction:, and finished_walls:, under building: or for the place"
        )
    if not space.construction.takes_cable:
        return f"{outside} is not laid in a building of {space.construction} (NEC 334.10); armored cable and conduit are"
    if space.finished_walls is None:
        return (
            f"{outside} goes behind a finish that stands fire for 15 minutes only (NEC 334.10(3)), and nobody said "
            "whether the walls have one, mostly gypsum board: look, then write finished_walls:"
        )
    if not space.finished_walls:
        return f"{outside} is not laid exposed (NEC 334.10(3)): the walls have no finish that stands fire for 15 minutes"
    return None
