"""Questions about what suppliers, offers and kinds say that counts for nothing: each is asked about, so that none is silent."""

from collections.abc import Iterator

from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.catalog import Condition
from costplan.model.pair import NO_EFFECT, Pair, Rule


def suppliers_charge_for_something(pair: Pair) -> Iterator[Problem]:
    """Questions about free delivery where delivery costs nothing."""
    for index, supplier in enumerate(pair.catalog.suppliers):
        if supplier.free_over_cents is not None and not supplier.delivery_cents:
            message = f"is said, but delivery from {supplier.name} costs nothing anyway"
            mend = "it has no effect; write delivery:, or delete it"
            where: Trail = ("suppliers", index, "free_over")
            yield pair.in_file("suppliers.yaml", "free-over-alone", where, message, mend, question=True)


def suppliers_sell_something(pair: Pair) -> Iterator[Problem]:
    """Questions about charges of suppliers of whom no offer is listed."""
    selling = {offer.supplier for offer in pair.catalog.offers}
    for index, supplier in enumerate(pair.catalog.suppliers):
        charges = (
            ("order_fee", supplier.order_fee_cents),
            ("delivery", supplier.delivery_cents),
            ("minimum", supplier.minimum_cents),
            ("errand", supplier.errand.money_cents or supplier.errand.own_hours),
            ("cut_charge", supplier.cut_charge_cents),
            ("tax", supplier.tax),
            ("markup", supplier.markup),
        )
        for word, value in charges if supplier.id not in selling else ():
            if value:
                message = f"is said, but offers.csv has nothing of {supplier.name}"
                mend = "it has no effect; add an offer, or delete it"
                where: Trail = ("suppliers", index, word)
                yield pair.in_file("suppliers.yaml", "supplier-idle", where, message, mend, question=True)


def only_lots_are_usable_in_part(pair: Pair) -> Iterator[Problem]:
    """Questions about the share that can be used of what is no lot."""
    for offer in pair.catalog.offers:
        if offer.usable is not None and not offer.is_lot:
            message = f'is said of "{offer.part}" per {offer.per}, which is no lot'
            mend = "it has no effect; write per: lot of 40, or say what fails by reject in kinds.yaml"
            yield pair.in_offers("offer-usable-idle", offer, "usable", message, mend, question=True)


def rejects_are_counted_somewhere(pair: Pair) -> Iterator[Problem]:
    """Questions about whole spares where no counted kind has surplus that fails."""
    if "rejects" not in pair.shop.money.model_fields_set:
        return
    if not any(kind.sold == "each" and any(kind.reject.values()) for kind in pair.catalog.kinds):
        message = "is said, but no counted kind says reject in kinds.yaml"
        yield pair.in_shop("rejects-idle", ("money", "rejects"), message, NO_EFFECT, question=True)


def only_surplus_is_rejected(pair: Pair) -> Iterator[Problem]:
    """Questions about shares of pieces that fail inspection of what nobody inspects."""
    for index, kind in enumerate(pair.catalog.kinds):
        for condition, share in kind.reject.items():
            if share and condition in (Condition.NEW, Condition.ON_HAND):
                message = f"is said of what is {condition}, which is no surplus"
                where: Trail = ("kinds", index, "reject", str(condition))
                yield pair.in_file(
                    "kinds.yaml", "reject-no-surplus", where, message, NO_EFFECT, question=True
                )


RULES: tuple[Rule, ...] = (
    suppliers_charge_for_something,
    suppliers_sell_something,
    only_lots_are_usable_in_part,
    rejects_are_counted_somewhere,
    only_surplus_is_rejected,
)
