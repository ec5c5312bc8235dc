"""The mark sheet as a panel, and whose it is: a name, what was taken up from an earlier sitting, a new sheet."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from flooring_kit.files import file_name, own_path, write_mark_sheet
from flooring_kit.html_parts import sheet_html
from flooring_kit.panels.fields import Field, complaint_line, guarded, tell
from flooring_kit.panels.mark_book import MarkBook
from flooring_kit.workbook.page import mark_sheet_html

WIDE = {"width": "100%", "overflow": "hidden"}


def plain_button(words: str, tooltip: str, css_class: str) -> Any:
    """A button as wide as its words."""
    layout = widgets.Layout(width="auto", align_self="flex-start")
    button = widgets.Button(description=words, tooltip=tooltip, layout=layout)
    button.add_class(css_class)
    return button


def _text(words: str, value: str, tooltip: str, css_class: str) -> Any:
    control = widgets.Text(description=words, value=value, tooltip=tooltip, continuous_update=False)
    control.style.description_width = "90px"
    control.layout = widgets.Layout(width="100%", max_width="420px", margin="2px 0")
    control.add_class(css_class)
    return control


@dataclass(frozen=True)
class TraineePanel:
    """The panel's handles.

    Parameters
    ----------
    box
        The panel itself.
    name
        Whose sheet it is.
    told
        What was taken up, begun or laid aside, or the question who sits here.
    begin
        Begins a new sheet; not shown where no sheet is kept.
    other, same
        The two answers where a name was changed: another trainee, or the name put right. Hidden else.
    alert
        Any trouble.
    """

    box: Any
    name: Any
    told: Any
    begin: Any
    other: Any
    same: Any
    alert: Any


def trainee_panel(book: MarkBook) -> TraineePanel:
    """Whose sheet it is, and what was taken up of it.

    Parameters
    ----------
    book
        The mark sheet; another panel of the same book shows the same name.
    """
    name = _text("Trainee", book.sheet.trainee, "Your name, for the sheet.", "kit-trainee")
    told = widgets.HTML("")
    alert = widgets.HTML("", layout=widgets.Layout(display="none"))
    begin = plain_button("Begin a new sheet", "The sheet before stays kept under its name.", "kit-begin-sheet")
    other = plain_button("", "Another trainee sits here now.", "kit-other-trainee")
    same = plain_button("The same trainee", "The name is put right, the marks stay.", "kit-same-trainee")

    def shown() -> None:
        asked, now = book.asked, book.sheet.trainee
        name.value = now if asked is None else asked
        new_sheet = "Begin a new sheet" + (f" for {asked}" if asked else " without a name")
        other.description = new_sheet
        question = f"The marks so far are those of {now}. Is this another trainee, or the same one?"
        tell(told, book.words if asked is None else " ".join(part for part in (book.words, question) if part))
        other.layout.display = same.layout.display = "none" if asked is None else ""
        begin.layout.display = "" if book.kept and asked is None else "none"

    @guarded(alert)
    def named(change: dict[str, Any]) -> None:
        trainee = change["new"].strip()
        if trainee != (book.sheet.trainee if book.asked is None else book.asked):
            book.name(trainee)

    @guarded(alert)
    def begun(_: object) -> None:
        book.begin()

    @guarded(alert)
    def begun_for_another(_: object) -> None:
        book.begin(book.asked or "")

    @guarded(alert)
    def renamed(_: object) -> None:
        book.rename(book.asked or "")

    name.observe(named, "value")
    for button, pressed in ((begin, begun), (other, begun_for_another), (same, renamed)):
        button.on_click(pressed)
    book.when_changed(shown)
    shown()
    buttons = widgets.HBox([other, same, begin], layout=widgets.Layout(flex_flow="row wrap", width="100%"))
    box = widgets.VBox([name, told, buttons, alert], layout=widgets.Layout(**WIDE))
    box.add_class("kit-whose-sheet")
    return TraineePanel(box, name, told, begin, other, same, alert)


@dataclass(frozen=True)
class MarkSheetPanel:
    """The panel's handles.

    Parameters
    ----------
    box
        The panel itself.
    whose
        Whose sheet it is, and what was taken up.
    file
        Where it is saved.
    save
        The button.
    sheet, said, alert
        Where the sheet stands, what became of saving, any trouble.
    """

    box: Any
    whose: TraineePanel
    file: Field
    save: Any
    sheet: Any
    said: Any
    alert: Any


def _place(typed: str) -> Path:
    """Where a file is saved: among the user's own where no folder is typed."""
    return own_path(typed) if Path(typed).name == typed else Path(typed)


def mark_sheet_panel(book: MarkBook, *, file: str = "mark_sheet.csv") -> MarkSheetPanel:
    """The mark sheet with the trainee's name, to be saved.

    Parameters
    ----------
    book
        The mark sheet the exercises' panels fill.
    file
        Name of the file it is saved as, among the user's own files where it has no folder; once the trainee's name is
        typed it is proposed with that name in it, so that one trainee's sheet does not take the place of another's.
    """
    whose = trainee_panel(book)
    path = _text("Save as", file, "A name that ends in .csv.", "kit-mark-file")
    proposed = [file]
    line = complaint_line()
    file_field = Field(widgets.VBox([path, line], layout=widgets.Layout(**WIDE)), path, line)
    save = plain_button("Save", "Save the mark sheet as a table.", "kit-save-marks")
    sheet, said = widgets.HTML(""), widgets.HTML("")
    alert = widgets.HTML("", layout=widgets.Layout(display="none"))

    def shown() -> None:
        sheet.value = sheet_html(mark_sheet_html(book.sheet))
        said.value = ""
        trainee = book.sheet.trainee
        named_file = str(Path(file).with_name(file_name(f"mark sheet, {trainee}", ".csv"))) if trainee else file
        if path.value == proposed[0]:  # a name of the user's own choice stays
            path.value = named_file
        proposed[0] = named_file

    @guarded(alert)
    def saved(_: object) -> None:
        said.value = ""
        file_field.require(lambda typed: write_mark_sheet(book.sheet.table(), _place(typed)))
        tell(said, f"Saved as {_place(path.value)}.")

    save.on_click(saved)
    book.when_changed(shown)
    shown()
    parts = [whose.box, sheet, file_field.box, save, said, alert]
    box = widgets.VBox(parts, layout=widgets.Layout(**WIDE))
    box.add_class("kit-mark-sheet")
    return MarkSheetPanel(box, whose, file_field, save, sheet, said, alert)
