"""Placeholder until the checks land."""


def check_shop(shop: object, catalog: object) -> list:  # type: ignore[type-arg]
    """No checks yet."""
    return []
