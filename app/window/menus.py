# SPDX-License-Identifier: MIT
"""The menu bar and the tool bar, from the actions."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QLabel, QMainWindow, QMenu, QSizePolicy, QToolBar, QToolButton, QWidget

from app.panels.rows.calm import CalmComboBox
from app.settings import Settings
from app.translation import tr
from app.window.actions import Actions
from app.window.arranging import add_arranging
from app.window.branch_side import SEVERAL
from app.window.docks import Docks
from app.window.files import Files, sample_title
from app.window.find_tag import FindTag


def fill_menu_bar(
    window: QMainWindow, actions: Actions, docks: Docks, files: Files, settings: Settings
) -> None:
    """Put all menus into the window's menu bar."""
    _file_menu(window, actions, files, settings)
    edit = window.menuBar().addMenu(tr("&Edit"))
    edit.addActions([actions["undo"], actions["redo"]])
    edit.addSeparator()
    names = ("cut", "copy", "paste")
    edit.addActions([actions[name] for name in names])
    edit.addSeparator()
    edit.addActions([actions["select_all"], actions["select_none"], actions["find"], actions["edit_here"]])
    _arrange_menu(window, actions)
    _draw_menu(window, actions)
    _view_menu(window, actions, docks)
    helping = window.menuBar().addMenu(tr("&Help"))
    helping.addActions([actions["help"], actions["first_loop"]])
    samples = helping.addMenu(tr("Open a sa&mple"))
    samples.aboutToShow.connect(lambda: _fill_samples(samples, files))


def _draw_menu(window: QMainWindow, actions: Actions) -> None:
    menu = window.menuBar().addMenu(tr("&Draw"))
    names = ("draw_select", "draw_join", "draw_bend", "draw_room", "connect_to")
    menu.addActions([actions[name] for name in names])
    menu.addSeparator()
    menu.addActions([actions[name] for name in SEVERAL])
    menu.addSeparator()
    parts = menu.addMenu(tr("&Place"))
    parts.addActions([each for each in actions.of_group("tool") if each.objectName().startswith("place_")])


def _file_menu(window: QMainWindow, actions: Actions, files: Files, settings: Settings) -> None:
    menu = window.menuBar().addMenu(tr("&File"))
    menu.addActions([actions["new"], actions["open"]])
    recent = menu.addMenu(tr("Open &recent"))
    recent.aboutToShow.connect(lambda: _fill_recent(recent, files, settings))
    samples = menu.addMenu(tr("Open a sa&mple"))
    samples.aboutToShow.connect(lambda: _fill_samples(samples, files))
    menu.addSeparator()
    menu.addActions([actions["save"], actions["save_as"]])
    menu.addSeparator()
    menu.addActions([actions["print"], actions["export"]])
    menu.addSeparator()
    menu.addActions([actions["close"], actions["quit"]])


def _fill_recent(menu: QMenu, files: Files, settings: Settings) -> None:
    """List the recent files; one that is missing is greyed."""
    menu.clear()
    for number, name in enumerate(settings.recent_files(), start=1):
        path = Path(name)
        name_shown = path.name.replace("&", "&&")
        action = menu.addAction(f"&{number % 10}  {name_shown}", partial(files.open_path, path))
        action.setToolTip(name)
        action.setStatusTip(name)
        action.setEnabled(path.is_file())
    if menu.isEmpty():
        menu.addAction(tr("No files yet")).setEnabled(False)


def _fill_samples(menu: QMenu, files: Files) -> None:
    menu.clear()
    for number, path in enumerate(files.samples(), start=1):
        menu.addAction(f"&{number}  {sample_title(path)}", partial(files.open_sample, path))
    if menu.isEmpty():
        menu.addAction(tr("No samples beside the program")).setEnabled(False)


def _arrange_menu(window: QMainWindow, actions: Actions) -> None:
    menu = window.menuBar().addMenu(tr("&Arrange"))
    add_arranging(menu, actions)
    menu.addActions([actions[name] for name in ("add_plan", "scale_plan", "move_plan")])
    menu.setToolTipsVisible(True)


def _view_menu(window: QMainWindow, actions: Actions, docks: Docks) -> None:
    menu = window.menuBar().addMenu(tr("&View"))
    zoom = ("fit", "zoom_selection", "zoom_in", "zoom_out", "actual_size")
    menu.addActions([actions[name] for name in zoom])
    menu.addSeparator()
    overlays = menu.addMenu(tr("&Colour the runs by"))
    overlays.addActions(list(actions.of_group("overlay")))
    units = menu.addMenu(tr("&Units"))
    units.addActions(list(actions.of_group("units")))
    units.addSeparator()
    units.addAction(actions["units_toggle"])
    theme = menu.addMenu(tr("&Theme"))
    theme.addActions(list(actions.of_group("theme")))
    cooling = menu.addMenu(tr("Cooling at the air &handlers"))
    cooling.addActions(list(actions.of_group("cooling")))
    motion = menu.addMenu(tr("Flow &arrows"))
    motion.addActions(list(actions.of_group("motion")))
    menu.addAction(actions["single_keys"])
    menu.addSeparator()
    panels = menu.addMenu(tr("&Panels"))
    for key, dock in zip("1234567890BCDEFGHIJ", docks.all(), strict=False):
        action = dock.toggleViewAction()
        action.setText(f"&{key} {dock.windowTitle()}")
        panels.addAction(action)
    panels.addSeparator()
    panels.addAction(tr("&As at first"), docks.arrange)
    menu.addActions([actions["show_findings"], actions["next_pane"], actions["previous_pane"]])
    menu.addSeparator()
    menu.addAction(actions["full_screen"])


def make_tool_bar(window: QMainWindow, actions: Actions, find: FindTag, conditions: QWidget) -> QToolBar:
    """Make the one tool bar: words, not pictures."""
    bar = QToolBar(tr("Tool bar"), window)
    bar.setObjectName("tool_bar")
    bar.setMovable(False)
    bar.toggleViewAction().setEnabled(False)
    for names in (("open", "save"), ("undo", "redo"), ("draw_select", "draw_join"), ("fit",)):
        for name in names:
            bar.addWidget(_button(actions[name], _short_text(name), bar))
        bar.addSeparator()
    label = QLabel(tr("Colour by"), bar)
    label.setProperty("role", "soft")
    bar.addWidget(label)
    bar.addWidget(_overlay_choice(actions, bar))
    bar.addWidget(conditions)
    space = QWidget(bar)
    space.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
    bar.addWidget(space)
    bar.addWidget(find)
    for name in ("units_si", "units_us"):
        bar.addWidget(_button(actions[name], _short_text(name), bar))
    window.addToolBar(bar)
    return bar


def _short_text(name: str) -> str:
    return {
        "open": tr("Open"),
        "save": tr("Save"),
        "undo": tr("Undo"),
        "redo": tr("Redo"),
        "draw_select": tr("Select"),
        "draw_join": tr("Run"),
        "fit": tr("Fit"),
        "units_si": tr("SI"),
        "units_us": tr("US"),
    }[name]


def _button(action: QAction, text: str, bar: QToolBar) -> QToolButton:
    """Return a button of an action with words of its own, for the action's text may be long."""
    button = QToolButton(bar)
    button.setText(text)
    button.setObjectName(f"{action.objectName()}_button")
    button.setCheckable(action.isCheckable())
    button.clicked.connect(action.trigger)

    def follow() -> None:
        button.setEnabled(action.isEnabled())
        button.setChecked(action.isChecked())
        button.setToolTip(action.toolTip())
        button.setAccessibleName(action.text().replace("&", ""))

    action.changed.connect(follow)
    follow()
    return button


def _overlay_choice(actions: Actions, bar: QToolBar) -> CalmComboBox:
    choice = CalmComboBox(bar)
    choice.setObjectName("overlay")
    choice.setAccessibleName(tr("Colour the runs by"))
    choice.setMinimumContentsLength(15)
    everything = list(actions.of_group("overlay"))
    choice.activated.connect(lambda index: choice.itemData(index).trigger())

    def follow() -> None:
        shown = [action for action in everything if action.isVisible()]
        if [choice.itemData(index) for index in range(choice.count())] != shown:
            choice.clear()
            for action in shown:
                choice.addItem(action.text().replace("&", ""), action)
        for index, action in enumerate(shown):
            if action.isChecked():
                choice.setCurrentIndex(index)

    for action in everything:
        action.changed.connect(follow)
    follow()
    return choice
