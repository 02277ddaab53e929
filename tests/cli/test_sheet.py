"""``divelog sheet``: to the screen as text, to a file as text or HTML, and nothing written over unasked."""

from __future__ import annotations

import pytest


@pytest.mark.parametrize("kind", ["run", "list", "papers", "trouble", "tag", "commissioning"])
def test_each_paper_is_printed(samples, call, kind):
    code, out, _ = call("--home", samples, "sheet", "tansy", kind)
    assert code == 0
    assert out.startswith("TANSY  ")


def test_a_file_is_html_by_its_name(samples, call, tmp_path):
    file = tmp_path / "sheet.html"
    code, out, err = call("--home", samples, "sheet", "tansy", "run", "-o", file, "--size", "letter")
    assert (code, out) == (0, "")
    assert "is in" in err
    assert file.read_text("utf-8").startswith("<!DOCTYPE html>")
    assert "size: letter" in file.read_text("utf-8")


def test_a_file_that_is_there_stays(samples, call, tmp_path):
    file = tmp_path / "sheet.txt"
    file.write_text("mine")
    code, _, err = call("--home", samples, "sheet", "tansy", "list", "-o", file)
    assert code == 2
    assert "is there already" in err
    assert file.read_text() == "mine"
    assert call("--home", samples, "sheet", "tansy", "list", "-o", file, "--over")[0] == 0
    assert file.read_text("utf-8").startswith("TANSY  Before the dive")


def test_other_names_boats_and_papers_are_wrong_calls(samples, call, tmp_path):
    assert call("--home", samples, "sheet", "tansy", "run", "-o", tmp_path / "sheet.pdf")[0] == 2
    assert call("--home", samples, "sheet", "nobody", "run")[0] == 2
    assert call("--home", samples, "sheet", "tansy", "poem")[0] == 2


def test_a_folder_that_cannot_be_written_is_said(samples, call, tmp_path):
    (tmp_path / "file").write_text("")
    code, _, err = call("--home", samples, "sheet", "tansy", "run", "-o", tmp_path / "file" / "sheet.html")
    assert code == 4
    assert err.startswith("divelog: ")


def test_a_fault_of_her_file_is_told_and_no_paper_made(samples, call, call_json):
    file = samples / "boats" / "tansy.toml"
    file.write_text(file.read_text("utf-8").replace('length = "920 mm"', "length = 920"), "utf-8")
    code, out, err = call("--home", samples, "sheet", "tansy", "run")
    assert (code, out) == (3, "")
    assert "boats/tansy.toml" in err
    code, found = call_json("--home", samples, "sheet", "tansy", "run")
    assert (code, found["schema"]) == (3, "divelog.faults/1")


def test_json_holds_the_text(samples, call_json):
    code, found = call_json("--home", samples, "sheet", "tansy", "trouble", "--blank")
    assert code == 0
    assert (found["schema"], found["boat"], found["paper"]) == ("divelog.sheet/1", "tansy", "trouble")
    assert "Nobody goes in after a boat" in found["text"]


def test_what_leaves_the_house_is_let_out_and_withheld_by_name(samples, call):
    code, out, _ = call("--home", samples, "sheet", "juniper", "papers")
    assert code == 0
    assert "withheld" not in out
    code, out, _ = call("--home", samples, "sheet", "juniper", "papers", "--without-incidents")
    assert code == 0
    assert "in her log; all withheld from these papers" in out
    code, _, err = call("--home", samples, "sheet", "juniper", "papers", "--let-out", "secrets")
    assert code == 2
    assert "nothing private is called 'secrets'" in err
