"""The user's own files: one folder of theirs, plain names, nothing outside it."""

import pytest

from flooring_kit.files import file_name, laid_aside, own_path, own_surveys, write_page


@pytest.fixture(autouse=True)
def work(tmp_path, monkeypatch):
    monkeypatch.setenv("FLOORING_KIT_WORK", str(tmp_path / "work"))
    return tmp_path / "work"


def test_a_file_goes_into_the_own_folder_which_is_made(work):
    assert own_path("box room.html") == work / "own" / "box room.html"
    assert (work / "own").is_dir()


def test_without_the_variable_it_goes_to_the_working_folder_at_home(tmp_path, monkeypatch):
    monkeypatch.delenv("FLOORING_KIT_WORK")
    monkeypatch.setenv("HOME", str(tmp_path))
    assert own_path("a.html") == tmp_path / "flooring-kit-work" / "own" / "a.html"


def test_a_file_laid_aside_takes_no_other_s_place(tmp_path):
    names = []
    for text in ("one", "two", "three"):
        (tmp_path / "a.json").write_text(text)
        names.append(laid_aside(tmp_path / "a.json"))
    assert [name.name for name in names] == ["unreadable a.json", "unreadable 2 a.json", "unreadable 3 a.json"]
    assert [name.read_text() for name in names] == ["one", "two", "three"]


def test_surveys_among_the_own_files_are_found_by_name(work):
    own_path("b.toml").write_text("")
    own_path("a.toml").write_text("")
    own_path("c.json").write_text("")
    assert own_surveys() == {"a": work / "own" / "a.toml", "b": work / "own" / "b.toml"}


@pytest.mark.parametrize("name", ["", ".", "..", "../a.html", "/etc/passwd", "a/b.html", "a\0b"])
def test_a_name_with_a_folder_in_it_is_refused(name):
    with pytest.raises(ValueError) as caught:
        own_path(name)
    told = f"name of the file must be a plain name without a folder, got {name!r}. Such as box room.html."
    assert str(caught.value) == told


def test_a_folder_that_cannot_be_made_is_told(tmp_path, monkeypatch):
    (tmp_path / "taken").write_text("a file")
    monkeypatch.setenv("FLOORING_KIT_WORK", str(tmp_path / "taken"))
    with pytest.raises(ValueError, match="the folder for your own files can't be made: "):
        own_path("a.html")


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("Box room", "Box room.pdf"),
        ("Küche / 2", "Küche - 2.pdf"),
        ("../..", "untitled.pdf"),
        ("a\\b", "a-b.pdf"),
        ("", "untitled.pdf"),
        ("x" * 200, "x" * 80 + ".pdf"),
    ],
)
def test_words_of_any_kind_give_a_plain_file_name(words, name, work):
    assert file_name(words, ".pdf") == name
    assert own_path(name).parent == work / "own"


def test_a_page_is_saved_whole_under_a_name_that_ends_in_html(tmp_path):
    path = tmp_path / "page.html"
    write_page("<p>é</p>", path)
    assert path.read_bytes() == "<p>é</p>".encode()
    with pytest.raises(ValueError) as caught:
        write_page("<p></p>", tmp_path / "page.txt")
    assert str(caught.value) == f"{tmp_path}/page.txt: the page was not saved: its name must end in .html."
