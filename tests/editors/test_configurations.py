"""The configurations of all editors: each can be read, starts the server, and takes the same files for programs.

Whether an editor does with them what it should is proven for Neovim and Emacs only, in the files beside this one.
"""

from __future__ import annotations

import json
import re
import tomllib
from xml.etree import ElementTree

import pytest
from proofs import CONFIGURATIONS, ROOT

from waywright.lsp.settings import Settings, read_settings

ENDINGS = {"nc", "cnc", "tap"}


def text(file: str) -> str:
    return (CONFIGURATIONS / file).read_text(encoding="utf-8")


def test_helix() -> None:
    configuration = tomllib.loads(text("helix/languages.toml"))
    server = configuration["language-server"]["waywright"]
    assert (server["command"], server["args"]) == ("waywright", ["serve"])
    assert read_settings(server["config"], Settings(False, False)) == Settings(False, True)
    (language,) = configuration["language"]
    assert (language["name"], language["language-servers"]) == ("lathe", ["waywright"])
    assert set(language["file-types"]) == ENDINGS


def test_kate() -> None:
    (server,) = json.loads(text("kate/lspclient.json"))["servers"].values()
    mode = ElementTree.fromstring(text("kate/lathe.xml"))
    assert server["command"] == ["waywright", "serve"]
    assert re.fullmatch(server["highlightingModeRegex"], mode.attrib["name"])
    assert {pattern.removeprefix("*.") for pattern in mode.attrib["extensions"].split(";")} == ENDINGS
    contexts = {context.attrib["name"] for context in mode.iter("context")}
    led_to = {rule.attrib["context"] for rule in mode.iter("DetectChar")} - {"#pop"}
    assert led_to < contexts
    shown = {each.attrib["attribute"] for each in [*mode.iter("context"), *mode.iter("DetectChar")]}
    assert shown == {item.attrib["name"] for item in mode.iter("itemData")}


def test_vscode() -> None:
    package = json.loads(text("vscode/package.json"))
    (language,) = package["contributes"]["languages"]
    assert {ending.removeprefix(".") for ending in language["extensions"]} == ENDINGS
    assert package["activationEvents"] == [f"onLanguage:{language['id']}"]
    assert f'language: "{language["id"]}"' in text("vscode/extension.js")
    settings = package["contributes"]["configuration"]["properties"]
    assert settings["waywright.command"]["default"] == ["waywright", "serve"]
    switches = {name.split(".")[1]: setting["default"] for name, setting in settings.items() if "command" not in name}
    assert read_settings(switches, Settings(False, False)) == Settings(True, True)
    assert all(f"{name}: settings.get(" in text("vscode/extension.js") for name in switches)
    assert json.loads(text(f"vscode/{language['configuration']}"))["comments"] == {"blockComment": ["(", ")"]}
    assert (CONFIGURATIONS / "vscode" / package["main"]).is_file()


@pytest.mark.parametrize(
    ("file", "command", "files"),
    [
        ("neovim/waywright.lua", '{ "waywright", "serve" }', r"(\w+) = \"lathe\""),
        ("emacs/waywright.el", '("waywright" "serve")', r"(?:\(\?:|\|)(\w+)(?=\\)"),
        ("vim/waywright.vim", "'command': '%e serve'", r"\*\.(\w+)"),
    ],
)
def test_those_written_in_the_editors_own_language(file: str, command: str, files: str) -> None:
    assert command in text(file)
    assert set(re.findall(files, text(file))) == ENDINGS


def test_the_readme_names_each() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    for folder in CONFIGURATIONS.iterdir():
        assert f"`{folder.name}/" in readme, folder.name
