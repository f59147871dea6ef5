"""The files for the editor besides the sheets: their names, what they are for, and the list of them on the index."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class EditFiles:
    """Files of one episode that hold the same in several forms: (name with ``{}`` for its number, the form).

    ``of_video``: their times are those of the video, once captions of it are kept; else those of the timeline.
    """

    title: str
    about: str
    forms: tuple[tuple[str, str], ...]
    of_video: bool = False

    def names(self, episode: int) -> tuple[tuple[str, str], ...]:
        """Give the files of an episode: (name, form)."""
        return tuple((name.format(episode), form) for name, form in self.forms)


EDIT_FILES = (
    EditFiles(
        "Texts over the picture",
        "with their times, one after the other",
        (("cues-{}.vtt", "WebVTT"), ("cues-{}.srt", "SubRip"), ("cues-{}.csv", "table")),
        of_video=True,
    ),
    EditFiles(
        "Draft captions",
        "the words as planned, to be put right by ear",
        (("captions-{}.vtt", "WebVTT"), ("captions-{}.srt", "SubRip")),
    ),
    EditFiles(
        "Chapters",
        "for the player, and to copy into the description",
        (("chapters-{}.vtt", "WebVTT"), ("chapters-{}.txt", "text")),
        of_video=True,
    ),
    EditFiles(
        "Timeline",
        "the shots in order with markers, for an editing program",
        (("timeline-{}.otio", "OpenTimelineIO"), ("timeline-{}.edl", "EDL (CMX 3600)")),
    ),
)
"""All files of an episode for its editor, in the order of the index."""
