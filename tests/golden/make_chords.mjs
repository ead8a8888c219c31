// Write what @tonaljs/chord-type says about chords, as JSON lines.
//
// Usage: node make_chords.mjs FOLDER, from beside a node_modules that has it. Writes
// tonal.jsonl into FOLDER: a meta record first, then one record a chord type, in the
// order of their first aliases. Nothing here corrects the library.

import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import chordType from "@tonaljs/chord-type";

const SCALE = [0, 2, 4, 5, 7, 9, 11];
const PERFECT = [1, 4, 5];

/** "7m" as { number: 7, alter: -1 }: how far from the major or perfect interval. */
function interval(text) {
  const [, digits, quality] = /^(\d+)([PMmAd]+)$/.exec(text);
  const number = Number(digits);
  const perfect = PERFECT.includes(((number - 1) % 7) + 1);
  const letters = quality.length;
  const alters = { P: 0, M: 0, m: -1, A: letters, d: perfect ? -letters : -letters - 1 };
  return { number, alter: alters[quality[0]] };
}

/** The interval as a chord degree: "7m" is "b7". */
function degree(text) {
  const { number, alter } = interval(text);
  return (alter < 0 ? "b" : "#").repeat(Math.abs(alter)) + number;
}

/** Semitones above the root, brought into one octave. */
function semitone(text) {
  const { number, alter } = interval(text);
  return (((SCALE[(number - 1) % 7] + alter) % 12) + 12) % 12;
}

/** The same from the library's own twelve bits, to hold the reading above to account. */
function bits(chroma) {
  return [...chroma].flatMap((bit, place) => (bit === "1" ? [place] : []));
}

function record(type) {
  const semitones = [...new Set(type.intervals.map(semitone))].sort((a, b) => a - b);
  if (semitones.join() !== bits(type.chroma).join()) {
    throw new Error(`${type.aliases[0]}: ${semitones} is not ${type.chroma}`);
  }
  return {
    record: "chord-type",
    source: "tonal",
    name: type.name,
    aliases: type.aliases,
    intervals: type.intervals,
    degrees: type.intervals.map(degree),
    semitones,
  };
}

/** By code unit, which is the same on every machine whatever its locale. */
function byAlias(a, b) {
  return a.aliases[0] < b.aliases[0] ? -1 : 1;
}

function version(name) {
  const file = new URL(`node_modules/${name}/package.json`, import.meta.url);
  return JSON.parse(readFileSync(file, "utf8")).version;
}

const names = ["@tonaljs/chord-type", "@tonaljs/pcset"];
const versions = Object.fromEntries(names.map((name) => [name, version(name)]));
const meta = { record: "meta", source: "tonal", versions };
const lines = [meta, ...chordType.all().map(record).sort(byAlias)];
const text = lines.map((line) => JSON.stringify(line) + "\n").join("");
writeFileSync(join(process.argv[2], "tonal.jsonl"), text);
