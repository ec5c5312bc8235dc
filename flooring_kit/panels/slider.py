"""A slider that is a plain range input: named for a screen reader, moved by keys, mouse or thumb.

The sliders of ipywidgets carry no name that a screen reader could say, and their handle is smaller than a thumb.
"""

from __future__ import annotations

import anywidget
import traitlets

# Values go out while the hand moves; the model keeps one message in flight and sends the last one after it.
_ESM = """
export default {
  render({ model, el }) {
    const input = document.createElement("input");
    input.type = "range";
    input.className = "kit-range";
    input.dataset.lmSuppressShortcuts = "true";  // else the notebook takes the arrow keys for its own
    const show = () => {
      for (const name of ["min", "max", "step"]) input[name] = model.get(name);
      const value = model.get("value");
      if (value >= model.get("min") && value <= model.get("max")) input.value = value;
      input.disabled = model.get("disabled");
      input.title = model.get("note");
      input.setAttribute("aria-label", model.get("label"));
      input.setAttribute("aria-valuetext", `${input.value} ${model.get("unit")}`.trim());
    };
    input.addEventListener("input", () => {
      model.set("value", Number(input.value));
      model.save_changes();
    });
    for (const name of ["value", "min", "max", "step", "disabled", "label", "unit", "note"])
      model.on(`change:${name}`, show);
    show();
    el.appendChild(input);
  }
};
"""
_CSS = """
.kit-range { width: 100%; height: 30px; margin: 0; accent-color: #7b6a4a; cursor: pointer; }
.kit-range:disabled { cursor: default; }
"""


class Slider(anywidget.AnyWidget):
    """A number between two limits, by the hand.

    `value`, `min`, `max` and `step` are numbers; a `value` outside the limits leaves the thumb where it was. `label`,
    `unit` and `note` say what is moved. (Not `tooltip`: a widget of this library that has one before it is shown can't
    be shown.)
    """

    _esm = _ESM
    _css = _CSS
    value = traitlets.Float(0.0).tag(sync=True)
    min = traitlets.Float(0.0).tag(sync=True)
    max = traitlets.Float(100.0).tag(sync=True)
    step = traitlets.Float(1.0).tag(sync=True)
    disabled = traitlets.Bool(False).tag(sync=True)
    label = traitlets.Unicode("").tag(sync=True)
    unit = traitlets.Unicode("").tag(sync=True)
    note = traitlets.Unicode("").tag(sync=True)
