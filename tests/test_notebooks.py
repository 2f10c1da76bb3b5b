"""Every notebook runs from top to bottom."""

from pathlib import Path

import pytest

NOTEBOOKS = sorted((Path(__file__).parent.parent / "notebooks").glob("*.ipynb"))


@pytest.mark.filterwarnings("ignore")  # the kernel client's own warnings are not ours
@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_notebook(path, tmp_path):
    import nbformat
    from nbclient import NotebookClient

    notebook = nbformat.read(path, as_version=4)
    for cell in notebook.cells:
        if cell.cell_type == "code":
            assert cell.outputs == [], "outputs are stripped before a notebook is committed"
    NotebookClient(notebook, timeout=300, kernel_name="python3", resources={"metadata": {"path": tmp_path}}).execute()
    assert any(cell.get("outputs") for cell in notebook.cells if cell.cell_type == "code")


def test_there_are_notebooks():
    assert NOTEBOOKS
