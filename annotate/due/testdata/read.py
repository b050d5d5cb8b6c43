"""Reads a calendar with two parsers of its own and prints what they found.

icalendar (Debian python3-icalendar) and vobject (Debian python3-vobject) parse
the file on standard input; the second also validates it. The two must agree on
every text, but for those with a backslash: Debian 12's icalendar takes an escaped
backslash before an n for the end of a line, so there vobject alone is heard.
"""
import datetime
import json
import sys

import icalendar
import vobject

data = sys.stdin.buffer.read()
cal = icalendar.Calendar.from_ical(data)
events = []
for e in cal.walk("VEVENT"):
    if e.errors:
        sys.exit(f"icalendar: {e.errors}")
    alarms = e.walk("VALARM")
    events.append({
        "uid": str(e["UID"]), "on": e.decoded("DTSTART").isoformat(), "allDay": type(e.decoded("DTSTART")) is datetime.date,
        "stamp": e.decoded("DTSTAMP").isoformat(), "summary": str(e["SUMMARY"]), "description": str(e["DESCRIPTION"]),
        "category": e["CATEGORIES"].to_ical().decode(), "alarms": [a.decoded("TRIGGER").total_seconds() for a in alarms],
    })

other = vobject.readOne(data.decode("utf-8"))
other.validate(raiseException=True)
mirror = getattr(other, "vevent_list", [])
if len(mirror) != len(events):
    sys.exit(f"{len(mirror)} events and {len(events)}")
for e, v in zip(events, mirror):
    heard = {"uid": str(v.uid.value), "on": v.dtstart.value.isoformat(), "summary": v.summary.value, "description": v.description.value}
    for k, text in heard.items():
        if e[k] != text and "\\" not in text:
            sys.exit(f"the parsers disagree on {k}: {e[k]!r}, {text!r}")
        e[k] = text

print(json.dumps({"name": str(cal["X-WR-CALNAME"]), "version": str(cal["VERSION"]), "product": str(cal["PRODID"]), "events": events}))
