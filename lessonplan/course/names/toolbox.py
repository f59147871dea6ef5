"""The tools of the shots by their names in the course's list, so that each is packed once; free text stays as it is."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

from lessonplan.course.model.settings import Tool
from lessonplan.course.model.together import Course
from lessonplan.course.problems import Problem, did_you_mean, error, note, warning


def known_tools(course: Course) -> Mapping[str, str]:
    """Give every name that the list of tools knows, in small letters, with the tool that it means."""
    tools = course.course.tools
    names = {other.lower(): name for name, tool in tools.items() for other in tool.also}
    return names | {name.lower(): name for name in tools}


def on_table(course: Course, asked: Iterable[str]) -> tuple[str, ...]:
    """Give the tools that some shots ask for, once each, by the names of the list, several in one taken apart."""
    names = known_tools(course)
    found: dict[str, str] = {}
    for text in asked:
        for one in _apart(course.course.tools, names, text, ()):
            found.setdefault(one.lower(), one)
    return tuple(found.values())


def _apart(tools: Mapping[str, Tool], names: Mapping[str, str], text: str, within: tuple[str, ...]) -> Iterator[str]:
    name = names.get(text.lower(), text)
    holds = tools[name].holds if name in tools and name not in within else ()
    if not holds:
        yield name
    for one in holds:
        yield from _apart(tools, names, one, (*within, name))


def packed(course: Course, asked: Iterable[str]) -> tuple[str, ...]:
    """Word the tools to pack for some shots: each with what the list says of it."""
    tools = course.course.tools
    found = on_table(course, asked)
    return tuple(f"{one}: {tools[one].what}" if one in tools and tools[one].what else one for one in found)


def tools_listed(course: Course) -> Iterator[Problem]:
    """Where a course lists its tools, the tools of its shots stand in the list."""
    names = known_tools(course)
    for one in course.shots() if names else ():
        for place, text in enumerate(one.shot.tools):
            if text.lower() not in names:
                hint = did_you_mean(text, names) or f"Put it into “tools” in course.yaml: {text}: what is packed"
                what = f"“{text}” is not in the list of tools, so it is packed as it stands."
                yield note(one.shot.mark("tools", place), "unlisted-tool", what, hint)


def tools_once(course: Course) -> Iterator[Problem]:
    """No name means two tools, what a tool holds is in the list, and a tool that holds others says nothing itself."""
    tools, names, seen = course.course.tools, known_tools(course), dict[str, str]()
    for name, tool in tools.items():
        for text in (name, *tool.also):
            other = seen.setdefault(text.lower(), name)
            if other != name:
                yield error(tool.mark("also"), "tool-twice", f"“{text}” is a name of “{other}” too.")
        if tool.holds and tool.what:
            told = f"“{tool.what}” stands on no paper: what “{name}” holds is packed in its place."
            yield warning(tool.mark("what"), "unprinted", told, "Say it at one of the tools that it holds.")
        for place, text in enumerate(tool.holds):
            if text.lower() not in names:
                what = f"There is no tool “{text}”."
                yield error(tool.mark("holds", place), "unknown-tool", what, did_you_mean(text, names))


TOOL_RULES: tuple[Callable[[Course], Iterator[Problem]], ...] = (tools_listed, tools_once)
