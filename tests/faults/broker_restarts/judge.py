"""What must hold of a run: compares what was said and heard with what the journal kept."""

import collections
import contextlib
import csv
import json
import sqlite3
import subprocess

FACT, ANNOUNCED = 3, 4  # the journal's kinds, see plugin/store/schema.hpp


class Journal:
    """The store's file, read past the daemon's own code."""

    def __init__(self, file):
        with contextlib.closing(sqlite3.connect(f"file:{file}?mode=ro", uri=True)) as store:
            def column(name, kind):
                found = store.execute(f"SELECT {name} FROM journal WHERE kind = ?", (kind,))
                return [value for (value,) in found]
            self.facts = [json.loads(body) for body in column("body", FACT)]
            self.event_ids = column("subject", ANNOUNCED)
            (self.parcels_left,) = store.execute("SELECT count(*) FROM outbox").fetchone()


def exported(build, configuration, what):
    output = subprocess.run(
        [build / "plugin/wheymarkd", "export", "--config", configuration, "--what", what,
         "--format", "csv"], check=True, capture_output=True, text=True).stdout
    return list(csv.DictReader(output.splitlines()))


def about_events(heard, journal):
    """Complaints about (id: payloads) that were heard."""
    by_id = collections.defaultdict(set)
    by_what = collections.defaultdict(set)
    for payload in heard:
        event = json.loads(payload)
        by_id[event["id"]].add(payload)
        by_what[event["type"], event.get("subject"), event["time"], event["data"]["text"]].add(event["id"])
    for twice, count in collections.Counter(journal.event_ids).items():
        if count > 1:
            yield f"event {twice} is in the journal {count} times"
    for missing in set(journal.event_ids) - set(by_id):
        yield f"event {missing} was never heard"
    for unknown in set(by_id) - set(journal.event_ids):
        yield f"event {unknown} was heard and is not in the journal"
    for changed in (each for each, payloads in by_id.items() if len(payloads) > 1):
        yield f"event {changed} came with other words"
    for what, ids in by_what.items():
        if len(ids) > 1:
            yield f"{what} came under the ids {sorted(ids)}"
    if journal.parcels_left:
        yield f"{journal.parcels_left} parcels are still to be sent"


def about_sayings(said, answers, journal, build, configuration):
    """Complaints about what people said (ref: fact) and were answered."""
    by_ref = collections.defaultdict(list)
    for answer in map(json.loads, answers):
        by_ref[answer["ref"]].append(answer)
    kept = collections.Counter(fact.get("ref") for fact in journal.facts)
    numbers = {fact.get("ref"): f"fact-{fact['number']}" for fact in journal.facts}
    accepted = collections.defaultdict(set)
    for ref, fact in said.items():
        ids = {answer["id"] for answer in by_ref[ref] if answer["accepted"]}
        if not by_ref[ref]:
            yield f"{ref} ({fact}) was never answered"
        if kept[ref] != (1 if ids else 0):
            yield f"{ref} ({fact}) was accepted as {ids} and is in the journal {kept[ref]} times"
        if ids and ids != {numbers.get(ref)}:
            yield f"{ref} was accepted as {ids} and kept as {numbers.get(ref)}"
        accepted[fact["fact"]] |= ids
    batches = exported(build, configuration, "batches")
    if {"fact-" + batch["batch"] for batch in batches} != accepted["start"]:
        yield "the exported batches are not those whose start was accepted"
    strained = sum(1 for batch in batches if batch["strained"])
    if strained != len(accepted["strain"]):
        yield f"{len(accepted['strain'])} strainings were accepted, {strained} are exported"
    stored = len(exported(build, configuration, "bottles"))
    if stored != len(accepted["store"]):
        yield f"{len(accepted['store'])} bottles went to the fridge, {stored} are exported"


def about_starts(heard, answers):
    """A batch that was begun is told once: one event id for each accepted number."""
    begun = {answer["id"] for answer in map(json.loads, answers)
             if answer["accepted"] and answer["fact"] == "start"}
    told = collections.Counter()
    for event_id in {event["id"] for event in map(json.loads, heard)
                     if event["type"] == "wheymark.batch-started"}:
        told["fact-" + event_id.rsplit(".", 2)[1]] += 1
    if set(told) != begun or max(told.values(), default=1) > 1:
        yield f"{len(begun)} batches were begun, and {sum(told.values())} told"
