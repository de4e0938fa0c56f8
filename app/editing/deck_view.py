# SPDX-License-Identifier: MIT
"""Which deck is worked on and which decks show: a state of the view, not of the vessel."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from PySide6.QtCore import QObject, Signal

from solver.vessel.vessel import Vessel

#: How the parts of a deck show, the best shown first.
DeckLayer = Literal["shown", "dimmed", "hidden"]
DECK_LAYERS: tuple[DeckLayer, ...] = ("shown", "dimmed", "hidden")


class DeckView(QObject):
    """The current deck, where new parts go, and how each deck shows.

    Attributes
    ----------
    changed : Signal
        Another deck is current, or a deck shows otherwise.
    """

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._names: tuple[str, ...] = ()
        self._current = ""
        self._layers: dict[str, DeckLayer] = {}

    @property
    def current(self) -> str:
        """Name of the deck that new parts go to; empty while the vessel has no decks."""
        return self._current

    @property
    def layers(self) -> dict[str, DeckLayer]:
        """Deck's name -> how it shows; decks not named are shown."""
        return dict(self._layers)

    def layer(self, name: str) -> DeckLayer:
        """Return how a deck shows."""
        return self._layers.get(name, "shown")

    def follow(self, vessel: Vessel) -> None:
        """Take the decks of a vessel; a deck renamed keeps its state."""
        names = tuple(deck.name for deck in vessel.decks)
        if names == self._names:
            return
        renamed: dict[str, str] = {}
        if len(names) == len(self._names) and set(names) != set(self._names):
            renamed = dict(zip(self._names, names, strict=True))
        self._names = names
        self._layers = {renamed.get(name, name): layer for name, layer in self._layers.items()}
        self._layers = {name: layer for name, layer in self._layers.items() if name in names}
        self._current = renamed.get(self._current, self._current)
        if self._current not in names:
            self._current = names[0] if names else ""
        self.changed.emit()

    def set_current(self, name: str) -> None:
        """Work on a deck; one that was hidden or dimmed is shown."""
        if name not in self._names or (name == self._current and name not in self._layers):
            return
        self._current = name
        self._layers.pop(name, None)
        self.changed.emit()

    def set_layer(self, name: str, layer: DeckLayer) -> None:
        """Show, dim or hide a deck."""
        if name in self._names and layer != self.layer(name):
            if layer == "shown":
                del self._layers[name]
            else:
                self._layers[name] = layer
            self.changed.emit()

    def set_others(self, layer: DeckLayer) -> None:
        """Show, dim or hide all decks but the current one."""
        layers: dict[str, DeckLayer] = {}
        if layer != "shown":
            layers = {name: layer for name in self._names if name != self._current}
        if layers != self._layers:
            self._layers = layers
            self.changed.emit()


def layers_of(
    vessel: Vessel, decks: Mapping[str, DeckLayer]
) -> tuple[dict[str, DeckLayer], dict[str, DeckLayer], dict[str, DeckLayer]]:
    """Return how components, runs and cabins show, by tag, where ``decks`` names how their decks do.

    A run shows as the better shown of its ends does.
    """
    if not decks:
        return {}, {}, {}
    components = {part.tag: decks[part.deck] for part in vessel.components if part.deck in decks}
    runs = {
        run.tag: min(components[run.start.tag], components[run.end.tag], key=DECK_LAYERS.index)
        for run in vessel.runs
        if run.start.tag in components and run.end.tag in components
    }
    return components, runs, {part.tag: decks[part.deck] for part in vessel.cabins if part.deck in decks}
