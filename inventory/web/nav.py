"""The places in the program. Features put themselves on the bar and on the Shop page when the apps load."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Item:
    order: int
    label: str
    url_name: str
    icon: str  # a symbol in static/icons/icons.svg
    key: str  # what a page says in {% block here %} to be the lit one
    desk_only: bool = False  # on the rail of a desk; a phone's bar has room for five


@dataclass(frozen=True, slots=True)
class ShopLink:
    group: str
    order: int
    label: str
    url_name: str
    says: str
    owner_only: bool = False


@dataclass(frozen=True, slots=True)
class FirstStep:
    order: int
    label: str
    url_name: str
    says: str
    owner_only: bool = False


_bar: dict[str, Item] = {}
_steps: dict[str, FirstStep] = {}
_shop: dict[str, ShopLink] = {}


def on_bar(order: int, label: str, url_name: str, *, icon: str, key: str, desk_only: bool = False) -> None:
    """A place on the bottom bar of a phone and on the rail of a desk."""
    _bar[key] = Item(order, label, url_name, icon, key, desk_only)


def on_shop_page(group: str, order: int, label: str, url_name: str, says: str, *, owner_only: bool = False) -> None:
    """A line on the Shop page, under one of its headings."""
    _shop[url_name] = ShopLink(group, order, label, url_name, says, owner_only)


def on_first_steps(order: int, label: str, url_name: str, says: str, *, owner_only: bool = False) -> None:
    """One of the ways to begin, on the page an empty shop opens with."""
    _steps[url_name] = FirstStep(order, label, url_name, says, owner_only)


def bar() -> list[Item]:
    return sorted(_bar.values(), key=lambda item: item.order)


def has(key: str) -> bool:
    return key in _bar


def shop_links() -> list[ShopLink]:
    return sorted(_shop.values(), key=lambda link: link.order)


def first_steps() -> list[FirstStep]:
    return sorted(_steps.values(), key=lambda step: step.order)
