"""Joints on the map: GeoJSON and KML, where the project says where its lines run.

A joint with a KP is placed straight between the two nearest points of its line's route, in degrees;
between points a few hundred metres apart that is within centimetres of the chord. Joints outside of
the route are left out, never extrapolated.
Source: RFC 7946 (GeoJSON: WGS 84, longitude first) and OGC 07-147r2 (KML 2.2) (read).
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any
from xml.sax.saxutils import escape

from dossier.handover.bag import Item
from dossier.records.project import Project, Route

FOLDER = "map"
_DECIMALS = 7  # a centimetre
_COLOURS = {  # KML writes opacity, blue, green, red
    "clear": "ff4f6f2f", "note": "ff766d5d", "hold": "ff00649a", "nonconformity": "ff202aa3",
    "cut-out": "ff3b0f5b",
}  # fmt: skip


def position(route: Route, kp_m: float) -> tuple[float, float] | None:
    """Longitude and latitude at a KP in metres; None outside of the route.

    >>> from dossier.records.project import RoutePoint
    >>> route = Route(line="S", points=(RoutePoint(lon_deg=10.0, lat_deg=50.0, kp_m=0.0),
    ...     RoutePoint(lon_deg=10.2, lat_deg=50.0, kp_m=1000.0)))
    >>> position(route, 250.0), position(route, 1000.1)
    ((10.05, 50.0), None)
    """
    for a, b in pairwise(route.points):
        if a.kp_m <= kp_m <= b.kp_m and b.kp_m > a.kp_m:
            share = (kp_m - a.kp_m) / (b.kp_m - a.kp_m)
            lon = a.lon_deg + share * (b.lon_deg - a.lon_deg)
            lat = a.lat_deg + share * (b.lat_deg - a.lat_deg)
            return round(lon, _DECIMALS), round(lat, _DECIMALS)
    return None


def maps(project: Project, joints: Sequence[Mapping[str, Any]]) -> list[Item]:
    """joints.geojson and joints.kml; () without routes. `joints` are those of issue.json."""
    routes = {route.line: route for route in project.settings.routes if len(route.points) > 1}
    if not routes:
        return []
    told = {joint["number"]: joint for joint in joints}
    placed = []
    for joint in project.joints:
        at = None
        if joint.line in routes and joint.kp_m is not None:
            at = position(routes[joint.line], joint.kp_m)
        if at is not None:
            placed.append((joint, at, told.get(joint.number, {})))
    lines = [_line(route) for route in routes.values()]
    points = [
        _feature("Point", list(at), {
            "number": joint.number, "line": joint.line, "kp_m": joint.kp_m, "kind": joint.kind,
            "status": joint.status, "verdict": shown.get("verdict", ""),
        })
        for joint, at, shown in placed
    ]  # fmt: skip
    collection = {"type": "FeatureCollection", "features": [*lines, *points]}
    text = f"{json.dumps(collection, ensure_ascii=False, indent=1)}\n"
    return [
        Item(f"{FOLDER}/joints.geojson", text.encode()),
        Item(f"{FOLDER}/joints.kml", _kml(project.settings.title, lines, points).encode()),
    ]


def _line(route: Route) -> dict[str, Any]:
    points = [[point.lon_deg, point.lat_deg] for point in route.points]
    return _feature("LineString", points, {"line": route.line})


def _feature(kind: str, coordinates: Any, properties: dict[str, Any]) -> dict[str, Any]:
    geometry = {"type": kind, "coordinates": coordinates}
    return {"type": "Feature", "geometry": geometry, "properties": properties}


def _kml(title: str, lines: Sequence[dict[str, Any]], points: Sequence[dict[str, Any]]) -> str:
    styles = [f'<Style id="{name}"><IconStyle><color>{colour}</color></IconStyle></Style>'
              for name, colour in _COLOURS.items()]  # fmt: skip
    marks = [
        f"<Placemark><name>{escape(one['properties']['line'])}</name><LineString><coordinates>"
        f"{' '.join(_at(c) for c in one['geometry']['coordinates'])}"
        "</coordinates></LineString></Placemark>"
        for one in lines
    ]
    marks += [
        f"<Placemark><name>{escape(one['properties']['number'])}</name>"
        f"<styleUrl>#{one['properties']['verdict']}</styleUrl><ExtendedData>"
        + "".join(f'<Data name="{key}"><value>{escape(str(value))}</value></Data>'
                  for key, value in one["properties"].items())
        + f"</ExtendedData><Point><coordinates>{_at(one['geometry']['coordinates'])}"
        "</coordinates></Point></Placemark>"
        for one in points
    ]  # fmt: skip
    return "\n".join([
        '<?xml version="1.0" encoding="UTF-8"?>',
        '<kml xmlns="http://www.opengis.net/kml/2.2"><Document>',
        f"<name>{escape(title)}</name>", *styles, *marks, "</Document></kml>", "",
    ])  # fmt: skip


def _at(coordinates: Sequence[float]) -> str:
    return f"{coordinates[0]},{coordinates[1]}"
