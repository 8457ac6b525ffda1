"""The program's places of a page, in the value that the second computation gives."""

from __future__ import annotations

from contextlib import suppress

import numpy as np

from model.rig.page import Page
from model.rig.part import Bar, Piece, Post
from model.space.frames import settled
from model.space.memo import Unplaced
from model.space.positions import Positions
from model.space.rails import Line
from model.space.surfaces import edge_heights, lean_toward, tilts
from tests.second_page import Lean, Second


def by_program(page: Page) -> Second:
    """Return what the program knows of a page."""
    positions, found = Positions(page), Second()
    places = positions.places
    for part in page.parts:
        with suppress(Unplaced):
            if isinstance(part, Bar):
                hung = places.hung(part)
                start, far = (hung.rail.at(np.array([place])) for place in (0.0, 1000.0))
                length = hung.rail.length
                end = None if length is None else hung.rail.at(np.array([length]))[0]
                if settled(start, far):
                    closure = None if hung.closure is None else float(hung.closure[0])
                    found.bars[part.id] = start[0], end, closure
            elif isinstance(part, Post):
                line = places.rail(part)
                assert isinstance(line, Line)
                if settled(line.start, line.along):
                    at, along = line.start[0], line.along[0]
                    top = None if line.length is None else at + along * line.length
                    found.posts[part.id] = at, top
            elif isinstance(part, Piece):
                frame = places.surface(part)
                if settled(frame.at, frame.z):
                    found.surfaces[part.id] = frame.at[0], frame.z[0]
                    lean, toward = lean_toward(frame.z)
                    ahead, right = (float(tilt[0]) for tilt in tilts(frame.z))
                    found.leans[part.id] = Lean(lean, toward, ahead, right)
                    throne = part.role == "throne"
                    edges = None if throne else edge_heights(part, frame, positions.player)
                    # A slab whose own turn is open has edges that nobody knows.
                    if part.slab is None or settled(frame.x, frame.y):
                        found.edges[part.id] = edges
        with suppress(Unplaced):
            if places.is_clamped(part):
                at, _ = places.clamp_on_rail(part.id)
                if settled(at):
                    found.clamps[part.id] = at[0]
    return found
