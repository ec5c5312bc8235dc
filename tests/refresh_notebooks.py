"""Run every notebook and store its text outputs and still pictures, without widget state.

python tests/refresh_notebooks.py            all of them
python tests/refresh_notebooks.py 1_plan     those whose name contains the words given
"""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

import nbformat
from nbclient import NotebookClient

NOTEBOOKS = Path(__file__).resolve().parent.parent / "notebooks"
KERNELSPEC = {"name": "python3", "display_name": "Python 3 (ipykernel)", "language": "python"}


def refresh(path: Path) -> None:
    """Run one notebook in its own folder and write it back."""
    notebook = nbformat.read(path, as_version=4)
    NotebookClient(
        notebook, timeout=300, kernel_name="python3", resources={"metadata": {"path": str(path.parent)}}
    ).execute()
    notebook.metadata = {"kernelspec": KERNELSPEC, "language_info": {"name": "python"}}
    for cell in notebook.cells:
        cell.metadata.pop("execution", None)
        if cell.cell_type != "code":
            continue
        cell.outputs = [
            output
            for output in cell.outputs
            if "application/vnd.jupyter.widget-view+json" not in output.get("data", {})
        ]
    nbformat.write(notebook, path)


if __name__ == "__main__":
    os.environ["FLOORING_KIT_WORK"] = tempfile.mkdtemp(prefix="flooring-kit-own-")
    for found in sorted(NOTEBOOKS.glob("*.ipynb")):
        if all(words in found.name for words in sys.argv[1:]):
            refresh(found)
            print(f"{found.name}: run and stored")
