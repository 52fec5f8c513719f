"""The small catalog of a first shop file: what its machines can use of the shipped demo's, with the labels of its panels."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory

from costplan.cli.copying import demo_texts, write_catalog
from costplan.files.writing import write_text
from costplan.files.yaml_reader import parse_yaml
from costplan.interview.answers import family_in
from costplan.interview.machine_line import PanelAnswer
from costplan.model.catalog import Part
from costplan.model.choices import LoadKind
from costplan.model.loading import LoadedCatalog, entry_of, load_catalog_with_places
from costplan.model.part_of_catalog import only, relabelled, sellers_of, sold_by, some_suppliers
from costplan.model.shop import Shop
from costplan.model.system import LINE_VOLTS

LOW_V = 120
_README = """\
# Catalog of a first shop file (invented)

Everything in this folder is invented: prices, suppliers, hours, rates and fees. Put your own in their place, offers.csv
first, before you decide anything; then delete `invented: prices` from the shop file. It has the parts that the machines of
that file can use, new at one supplier, and used where another has them. `costplan catalog copy FOLDER` has all there are.
"""


@dataclass(frozen=True)
class OwnCatalog:
    """The demo's files with the labels of some panels, all of them still, and the same read for one supplier's new parts."""

    texts: Mapping[str, str]
    loaded: LoadedCatalog
    supplier: str


def own_catalog(panels: Iterable[PanelAnswer], parts: Collection[Part]) -> OwnCatalog:
    """The catalog as these panels' labels call their breakers; `parts` are those of the shipped demo's."""
    from costplan.ledger.usable_parts import main_supplier, of_one_supplier

    texts = demo_texts()
    labels: dict[str, str] = {}
    for panel in panels:
        labels.setdefault(panel.breakers, family_in(parts, panel))
    texts["parts.yaml"], texts["offers.csv"] = relabelled(texts["parts.yaml"], texts["offers.csv"], labels)
    with TemporaryDirectory() as made:
        loaded = _read(Path(made), texts)
    assert loaded.catalog is not None
    supplier = main_supplier(loaded.catalog)
    return OwnCatalog(texts, replace(loaded, catalog=of_one_supplier(loaded.catalog, supplier)), supplier)


def for_higher_volts(shop: Shop) -> Shop | None:
    """The shop of its 120 V motors alone, as if set for the higher volts of its panels; None where there are none.

    Most motors of that size have leads for both (common practice, no source), and a retooling is written into the file later:
    its parts are then there.
    """
    higher = max((LINE_VOLTS[panel.system] for panel in shop.panels), default=0)
    machines = [
        machine.model_copy(
            update={
                "plate_volts": ((Decimal(higher),),),
                "plate_amps": None if machine.amps_a is None else ((machine.amps_a * LOW_V / higher,),),
                "plug": None,
                "now": None,
            }
        )
        for machine in shop.machines
        if machine.kind is LoadKind.MOTOR and machine.phases == 1 and machine.volts == LOW_V < higher
    ]
    return shop.model_copy(update={"machines": machines, "scenarios": []}) if machines else None


def for_any_drop(shop: Shop) -> Shop:
    """The shop as if no drop of voltage were too much: a note compares with the wire that the current alone asks for."""
    return shop.model_copy(
        update={"machines": [each.model_copy(update={"drop_limit": Decimal(1)}) for each in shop.machines]}
    )


def breakers_of_idle_panels(shop: Shop, parts: Collection[Part], kept: Collection[str]) -> frozenset[str]:
    """Breakers of panels that feed no machine yet, since a label must be known: of the sizes that are kept for others."""
    breakers = [part for part in parts if part.kind == "breaker"]
    known = {part.attributes.get("family") for part in breakers if part.id in kept}
    idle = {panel.breakers for panel in shop.panels} - known
    sizes = {_size(part) for part in breakers if part.id in kept}
    of_idle = [part for part in breakers if part.attributes.get("family") in idle]
    alike = frozenset(part.id for part in of_idle if _size(part) in sizes)
    return alike or frozenset(part.id for part in of_idle)


def _size(breaker: Part) -> tuple[object, ...]:
    return tuple(breaker.attributes.get(word) for word in ("poles", "rating_a", "ground_fault"))


def _read(folder: Path, texts: Mapping[str, str]) -> LoadedCatalog:
    for name, text in texts.items():
        write_text(folder / name, text)
    return load_catalog_with_places(folder)


def write_own_catalog(folder: Path, own: OwnCatalog, shop_text: str) -> None:
    """Write what the machines of a shop file can use, all of it or none.

    Raises UserMistakeError when the folder exists or cannot be written.
    """
    from costplan.circuits.facts import Facts
    from costplan.ledger.usable_parts import usable_parts

    shop, _, _ = entry_of(parse_yaml(shop_text, str(folder)), Shop)
    assert shop is not None
    assert own.loaded.catalog is not None
    asking = filter(None, (shop, for_any_drop(shop), for_higher_volts(shop)))
    kept = frozenset[str]().union(*(usable_parts(Facts(each, own.loaded.catalog)) for each in asking))
    kept |= breakers_of_idle_panels(shop, own.loaded.catalog.parts, kept)
    new = {kind.kind for kind in own.loaded.catalog.kinds if kind.must_be_new}
    used = {part.id for part in own.loaded.catalog.parts if part.kind not in new}
    offers = sold_by(own.texts["offers.csv"], own.supplier, kept, used)
    write_catalog(
        folder,
        {
            **own.texts,
            "parts.yaml": only(own.texts["parts.yaml"], kept),
            "offers.csv": offers,
            "suppliers.yaml": some_suppliers(own.texts["suppliers.yaml"], sellers_of(offers)),
            "README.md": _README,
        },
    )
