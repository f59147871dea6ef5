"""The feed that is built, read by the browser's XML parser (the program writes it with another), against RFC 4287."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from playwright.sync_api import Browser

READ = """(text) => {
  const tree = node => ({
    name: node.localName, space: node.namespaceURI, text: node.textContent,
    keys: Object.fromEntries([...node.attributes].map(one => [one.name, one.value])),
    inside: [...node.children].map(tree),
  });
  return tree(new DOMParser().parseFromString(text, 'application/xml').documentElement);
}"""
SPACE = "http://www.w3.org/2005/Atom"
# RFC 4287, 4.1.1 and 4.1.2: what stands exactly once, at most once, and as often as one likes.
ONCE = ("id", "title", "updated")
FEED = {"generator", "icon", "logo", "rights", "subtitle"}, {"author", "category", "contributor", "link", "entry"}
ENTRY = {"content", "published", "rights", "source", "summary"}, {"author", "category", "contributor", "link"}


def checked(node: dict[str, Any], rare: set[str], often: set[str]) -> None:
    names = [one["name"] for one in node["inside"]]
    assert {one["space"] for one in node["inside"]} == {SPACE}
    assert [names.count(name) for name in ONCE] == [1, 1, 1]
    assert all(names.count(name) <= 1 for name in rare)
    assert set(names) <= {*ONCE, *rare, *often}
    kept = {one["name"]: one["text"] for one in node["inside"]}
    assert re.fullmatch(r"[a-z][a-z0-9+.-]*:\S+", kept["id"]), "an absolute IRI (4.2.6)"
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", kept["updated"]), "RFC 3339 with T and Z (3.3)"
    assert datetime.fromisoformat(kept["updated"])
    for one in node["inside"]:
        if one["name"] == "author":
            assert [inner["name"] for inner in one["inside"]].count("name") == 1, "a person has one name (3.2.1)"
        if one["name"] in ("title", "content"):
            assert one["keys"].get("type", "text") == "text"
            assert one["inside"] == [], "text has no elements in it (3.1.1.1)"
        if one["name"] == "link":
            assert one["keys"]["href"], "a link has a href (4.2.7.1)"


def test_the_feed_of_the_sample(browser: Browser, sample_output: Path) -> None:
    page = browser.new_page()
    root = page.evaluate(READ, (sample_output / "errata.atom").read_text(encoding="utf-8"))
    page.close()
    assert (root["name"], root["space"]) == ("feed", SPACE)
    checked(root, *FEED)
    entries = [one for one in root["inside"] if one["name"] == "entry"]
    assert len(entries) == 3
    assert any(one["name"] == "author" for one in root["inside"]), "else every entry must have one (4.1.1)"
    for entry in entries:
        checked(entry, *ENTRY)
        assert any(one["name"] == "content" for one in entry["inside"]), "an entry without a link has content (4.1.2)"
    ids = [one["text"] for node in (root, *entries) for one in node["inside"] if one["name"] == "id"]
    assert len(set(ids)) == len(ids)
