# SPDX-License-Identifier: MIT
"""Every action of the window: text with its access key, shortcuts, and what it does in a few words.

Shortcuts of the system are asked of the system (``QKeySequence.StandardKey``).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAction, QActionGroup, QKeySequence

from app.canvas.part_keys import PART_KEYS
from app.panels.words import kind_names
from app.translation import tr

Key = QKeySequence.StandardKey

#: Quantities the runs can be coloured by.
OVERLAYS = ("none", "flow", "share", "velocity", "loss", "pressure", "temperature", "condensation")


class Spec(NamedTuple):
    """What an action is; ``group`` names the actions of which one is on."""

    name: str
    text: str
    keys: tuple[Key | str, ...] = ()
    tip: str = ""
    group: str = ""


def _file_specs() -> tuple[Spec, ...]:
    return (
        Spec("new", tr("&New vessel"), (Key.New,), tr("Begin an empty vessel")),
        Spec("open", tr("&Open…"), (Key.Open,), tr("Open a vessel file")),
        Spec("save", tr("&Save"), (Key.Save,), tr("Save the vessel; the version before is kept beside it")),
        Spec("save_as", tr("Save &as…"), (Key.SaveAs, "Ctrl+Shift+S"), tr("Save under another name")),
        Spec("print", tr("&Print…"), (Key.Print,), tr("Print the drawing with its title block")),
        Spec("export", tr("&Export the drawing…"), ("Ctrl+E",), tr("Write the drawing as PNG, SVG or PDF")),
        Spec("close", tr("&Close vessel"), (Key.Close,), tr("Close this vessel")),
        Spec("quit", tr("&Quit"), (Key.Quit,), tr("End the program")),
    )


def _edit_specs() -> tuple[Spec, ...]:
    return (
        Spec("undo", tr("&Undo"), (Key.Undo,), tr("Take the last step back")),
        Spec("redo", tr("&Redo"), (Key.Redo, "Ctrl+Shift+Z", "Ctrl+Y"), tr("Make the step again")),
        Spec("select_all", tr("Select &all"), (Key.SelectAll,), tr("Select every part on the drawing")),
        Spec("select_none", tr("Select &nothing"), ("Ctrl+Shift+A",), tr("Show the vessel's own page")),
        Spec(
            "edit_here", tr("Edit on the &sheet"), ("F2",), tr("Type the selected part's tag and main value")
        ),
        Spec("find", tr("&Find a tag"), (Key.Find,), tr("Find a part by its tag, select it and zoom to it")),
    )


def _arrange_specs() -> tuple[Spec, ...]:
    return (
        Spec("align_left", tr("Align &left"), ("Ctrl+Alt+Left",), tr("Bring left sides into line")),
        Spec("align_centre", tr("Align &centres"), ("Ctrl+Alt+C",), tr("Put the parts under each other")),
        Spec("align_right", tr("Align &right"), ("Ctrl+Alt+Right",), tr("Bring right sides into line")),
        Spec("align_top", tr("Align &top"), ("Ctrl+Alt+Up",), tr("Bring upper sides into line")),
        Spec("align_middle", tr("Align &middles"), ("Ctrl+Alt+M",), tr("Put the parts beside each other")),
        Spec("align_bottom", tr("Align &bottom"), ("Ctrl+Alt+Down",), tr("Bring lower sides into line")),
        Spec("distribute_across", tr("Distribute &across"), ("Ctrl+Alt+H",), tr("Equal distances across")),
        Spec("distribute_down", tr("Distribute do&wn"), ("Ctrl+Alt+V",), tr("Equal distances down")),
        Spec("turn_parts", tr("Turn clock&wise"), ("Ctrl+R",), tr("Turn each by a quarter")),
        Spec("straighten", tr("Strai&ghten the run"), ("Ctrl+Alt+S",), tr("Let its way be found anew")),
        Spec("duplicate", tr("&Duplicate"), ("Ctrl+D",), tr("Copy the parts beside themselves")),
        Spec("delete", tr("D&elete"), (Key.Delete, "Backspace"), tr("Delete the parts; a run is healed")),
        Spec("lock", tr("&Lock or unlock"), ("Ctrl+L",), tr("Keep the parts from being moved or deleted")),
        Spec("select_kind", tr("Select all of this &kind"), ("Ctrl+Shift+K",), tr("All parts of the kind")),
        Spec("select_branch", tr("Select the branc&h"), ("Ctrl+Shift+B",), tr("Up to where pipe branches")),
        Spec("select_circuit", tr("Select the whole ci&rcuit"), ("Ctrl+Shift+L",), tr("All that is joined")),
        Spec("renumber", tr("Re&number tags…"), ("Ctrl+Shift+R",), tr("Give the parts new tags in order")),
        Spec("add_plan", tr("Add a deck &plan…"), (), tr("Put a picture under the drawing")),
        Spec(
            "scale_plan", tr("Set the &scale of the deck…"), (), tr("By two points you know the distance of")
        ),
        Spec("move_plan", tr("Mo&ve the deck plan"), (), tr("Drag it, or use the arrow keys")),
    )


def keyed(text: str, key: str) -> str:
    """Return a text with its access key marked: the first such letter, at the start of a word if there is.

    Examples
    --------
    >>> keyed("Sea-water pump", "W"), keyed("Flow meter", "7"), keyed("Strainer", "S")
    ('Sea-&water pump', 'Flow meter (&7)', '&Strainer')
    """
    found = re.search(rf"\b{key}", text, re.IGNORECASE) or re.search(key, text, re.IGNORECASE)
    return f"{text} (&{key})" if found is None else f"{text[: found.start()]}&{text[found.start() :]}"


def _draw_specs() -> tuple[Spec, ...]:
    words = tr("Place: {0}. Key {1} on the canvas")
    placing = tuple(
        Spec(f"place_{kind}", keyed(name, PART_KEYS[kind]), (), words.format(name, PART_KEYS[kind]), "tool")
        for kind, name in kind_names().items()
        if kind in PART_KEYS
    )
    return (
        Spec("cut", tr("Cu&t"), (Key.Cut,), tr("Take what is selected to the clipboard")),
        Spec("copy", tr("&Copy"), (Key.Copy,), tr("Copy what is selected, as parts, picture and table")),
        Spec("paste", tr("&Paste"), (Key.Paste,), tr("Put the clipboard's parts at the pointer")),
        Spec("draw_select", tr("&Select and move"), (), tr("Select, move, bend. Key V or Escape"), "tool"),
        Spec("draw_join", tr("&Run"), (), tr("Lay runs from port to port. Key P on the canvas"), "tool"),
        Spec("draw_bend", tr("Bend a r&un"), (), tr("Bend a run by hand. Key Z on the canvas"), "tool"),
        Spec("draw_room", tr("&Cabin"), (), tr("Draw a cabin's room. Shift+C on the canvas"), "tool"),
        Spec(
            "draw_branch",
            tr("Whole &branch"),
            (),
            tr("Place an air handler with its valves and pipe. Key B on the canvas"),
            "tool",
        ),
        Spec(
            "draw_cabins",
            tr("Cab&in branches…"),
            (),
            tr("Lay a branch for each of some cabins along a main. Shift+B on the canvas"),
            "tool",
        ),
        Spec(
            "draw_pair",
            tr("Supply &and return"),
            (),
            tr("Draw a supply with its return beside it. Shift+P on the canvas"),
            "tool",
        ),
        Spec(
            "draw_mirror",
            tr("Return &main of a supply main"),
            (),
            tr("Lay the direct or reverse return of a supply main. Shift+M on the canvas"),
            "tool",
        ),
        Spec("connect_to", tr("C&onnect to…"), ("Ctrl+J",), tr("Join two ports chosen from a list")),
        *placing,
    )


def _view_specs() -> tuple[Spec, ...]:
    overlays = {
        "none": (tr("N&othing"), tr("Runs in the colour of what they carry")),
        "flow": (tr("&Flow"), tr("Runs coloured by flow")),
        "share": (tr("&Share of design flow"), tr("Air handlers and their runs by share of design flow")),
        "velocity": (tr("&Velocity"), tr("Runs coloured by velocity")),
        "loss": (tr("&Loss per length"), tr("Runs coloured by loss per length")),
        "pressure": (tr("&Pressure"), tr("Runs coloured by pressure")),
        "temperature": (tr("&Water temperature"), tr("Runs coloured by the temperature of their water")),
        "condensation": (
            tr("&Condensation risk"),
            tr("Runs coloured by how far their surface is above the dew point of the air round them"),
        ),
    }
    coloured = tuple(
        Spec(f"overlay_{name}", text, (f"Ctrl+{number}",), tip, "overlay")
        for number, (name, (text, tip)) in enumerate(overlays.items(), start=1)
    )
    return (
        Spec("fit", tr("&Fit the drawing"), ("Ctrl+9",), tr("Show the whole drawing")),
        Spec(
            "zoom_selection",
            tr("Zoom to the &selection"),
            ("Ctrl+Shift+9",),
            tr("Bring it into view"),
        ),
        Spec("zoom_in", tr("Zoom &in"), (Key.ZoomIn, "Ctrl+="), tr("Show it larger")),
        Spec("zoom_out", tr("Zoom &out"), (Key.ZoomOut,), tr("Show it smaller")),
        Spec("actual_size", tr("Zoom &100 %"), ("Ctrl+0",), tr("Show it at its own size")),
        *coloured,
        Spec(
            "overlay_difference",
            tr("&Difference from before"),
            (),
            tr("Runs coloured by how their flow differs from the state compared with"),
            "overlay",
        ),
        Spec(
            "overlay_heat_difference",
            tr("Difference in &temperature"),
            (),
            tr("Runs coloured by how much warmer or colder their water is than in the state compared with"),
            "overlay",
        ),
        Spec("units_si", tr("&SI"), (), tr("Litres a minute, kPa, metres"), "units"),
        Spec("units_us", tr("&US customary"), (), tr("US gpm, psi, feet"), "units"),
        Spec("units_toggle", tr("&Other units"), ("Ctrl+U",), tr("Change between SI and US customary units")),
        Spec("theme_system", tr("As the &system"), (), tr("Light or dark as the system has it"), "theme"),
        Spec("theme_light", tr("&Light"), (), tr("Dark ink on light paper"), "theme"),
        Spec("theme_dark", tr("&Dark"), (), tr("Light ink on dark paper"), "theme"),
        Spec("next_pane", tr("&Next pane"), ("F6",), tr("Put the keyboard into the next pane")),
        Spec(
            "previous_pane", tr("P&revious pane"), ("Shift+F6",), tr("Put the keyboard into the one before")
        ),
        Spec("show_findings", tr("&Go to the findings"), ("Ctrl+Shift+M",), tr("Show what is found wrong")),
        Spec("first_loop", tr("A &first loop, step by step"), (), tr("Show the steps over the canvas")),
        Spec("help", tr("&Help for what is here"), ("F1",), tr("Open help at what tells of this panel")),
        Spec("theme_contrast_light", tr("High &contrast, light"), (), tr("Black on white"), "theme"),
        Spec("theme_contrast_dark", tr("High contr&ast, dark"), (), tr("White on black"), "theme"),
        Spec("cooling_near", tr("From &near by"), (), tr("kW and ΔT where there is room"), "cooling"),
        Spec("cooling_far", tr("From &farther off"), (), tr("kW and ΔT from a zoom of 50 %"), "cooling"),
        Spec("cooling_never", tr("Ne&ver"), (), tr("The share of design flow alone"), "cooling"),
        Spec("motion_system", tr("As the &system"), (), tr("Arrows drift unless less is wished"), "motion"),
        Spec("motion_drift", tr("&Drift"), (), tr("Flow arrows drift with the water"), "motion"),
        Spec("motion_still", tr("Stand s&till"), (), tr("Nothing moves by itself"), "motion"),
        Spec("single_keys", tr("Single &keys on the canvas"), (), tr("Letters take tools and parts")),
        Spec("full_screen", tr("Fu&ll screen"), (Key.FullScreen,), tr("Use the whole screen")),
    )


def all_specs() -> tuple[Spec, ...]:
    """Return what every action is, in the order of the menus."""
    return (*_file_specs(), *_edit_specs(), *_arrange_specs(), *_draw_specs(), *_view_specs())


#: Names of the actions that are on or off.
_CHECKABLE = frozenset({"full_screen", "single_keys"})
#: Keys that other fields and tables know too, so these actions hear them on the canvas only.
_ON_CANVAS = frozenset({"cut", "copy", "paste"})


class Actions(QObject):
    """All actions by name."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._actions: dict[str, QAction] = {}
        self._groups: dict[str, QActionGroup] = {}
        for spec in all_specs():
            self._add(spec)

    def __getitem__(self, name: str) -> QAction:
        return self._actions[name]

    def all(self) -> Sequence[QAction]:
        """Return all actions."""
        return list(self._actions.values())

    def of_group(self, group: str) -> Sequence[QAction]:
        """Return the actions of which one is on."""
        return self._groups[group].actions()

    def on_canvas(self) -> Sequence[QAction]:
        """Return the actions whose keys are heard on the canvas only."""
        return [self._actions[name] for name in sorted(_ON_CANVAS)]

    def check(self, name: str) -> None:
        """Put an action of a group on, without doing what it does."""
        self._actions[name].setChecked(True)

    def _add(self, spec: Spec) -> None:
        action = QAction(spec.text, self)
        action.setObjectName(spec.name)
        keys: list[QKeySequence] = []
        for key in spec.keys:
            found = QKeySequence.keyBindings(key) if isinstance(key, Key) else [QKeySequence(key)]
            keys.extend(each for each in found if each not in keys)
        action.setShortcuts(keys)
        if spec.name in _ON_CANVAS:
            action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
        shortcut = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
        action.setToolTip(f"{spec.tip} ({shortcut})" if shortcut else spec.tip)
        action.setStatusTip(spec.tip)
        if spec.group:
            action.setCheckable(True)
            if spec.group not in self._groups:
                self._groups[spec.group] = QActionGroup(self)
            self._groups[spec.group].addAction(action)
        if spec.name in _CHECKABLE:
            action.setCheckable(True)
        self._actions[spec.name] = action
