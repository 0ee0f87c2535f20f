// Record: what fields of a record are called, and what stands in them, in the words and units of who reads.
/** @import { Units } from "../core/types" */
/** @import { FieldChange, FieldGroup, FieldSpec, Kind, Value } from "../core/recordtypes" */
import { dayWords, whenWords } from "./times.js";
import { inUnits, thickness, unitName, weight } from "./units.js";

/** @param {string} path @param {string} label @param {Kind} kind @returns {FieldSpec} */
const field = (path, label, kind) => ({ path, label, kind });

/** @type {FieldGroup[]} */
const MOORING = [
  {
    name: "boat",
    title: "Boat",
    fields: [
      field("boat.name", "Name", "text"),
      field("boat.kind", "Kind, such as sail", "text"),
      field("boat.loa_m", "Length overall", "length"),
      field("boat.length_all_m", "Length with bowsprit and davits", "length"),
      field("boat.beam_m", "Beam", "length"),
      field("boat.draft_m", "Draft", "length"),
      field("boat.bow_height_m", "Bow height", "length"),
    ],
  },
  { name: "owner", title: "Owner", fields: [field("boat.owner", "Owner's name", "text")] },
  { name: "permit", title: "Permit", fields: [field("permit.year", "Year", "year"), field("permit.expires", "Last day", "date")] },
  {
    name: "place",
    title: "The place and its limits",
    fields: [
      field("area", "Area", "area"),
      field("depth_m", "Depth below datum", "length"),
      field("accuracy_m", "Accuracy of the position", "length"),
      field("radius_m", "Stated radius", "length"),
      field("largest_loa_m", "Longest boat", "length"),
      field("smallest_loa_m", "Shortest boat", "length"),
      field("largest_draft_m", "Deepest draft", "length"),
    ],
  },
  { name: "note", title: "Note", fields: [field("note", "Note", "long")] },
];

/**
 * What is not asked of a kind of part: an anchor adds nothing to the rode, and of no other part the weight counts.
 * @param {string} kind
 * @param {string} name of a field
 */
export const beside = (kind, name) =>
  kind === "anchor"
    ? ["length_m", "size_m", "left"].includes(name)
    : kind !== "" && (name === "weight_kg" || (["buoy", "marker"].includes(kind) && name === "left"));

/**
 * @param {number | string} n of the part, from 1
 * @param {string} kind empty: any
 * @param {Record<string, Value>} [part] what is on record of it is asked all the same
 * @returns {FieldGroup}
 */
export function partGroup(n, kind, part = {}) {
  const at = `tackle[${n}].`;
  const fields = [
    field(at + "kind", "Kind", "part"),
    field(at + "material", "Material", "text"),
    field(at + "length_m", "Length", "length"),
    field(at + "size_m", "Diameter", "size"),
    field(at + "weight_kg", "Weight in air", "weight"),
    field(at + "left", "Size left", "share"),
    field(at + "installed", "Installed on", "date"),
    field(at + "inspected", "Inspected on", "date"),
  ];
  const named = (/** @type {FieldSpec} */ each) => each.path.slice(at.length);
  return {
    name: `tackle[${n}]`,
    title: `Tackle ${n} · ${partWords(kind)}`,
    fields: fields.filter((each) => !beside(kind, named(each)) || (part[named(each)] ?? null) !== null),
  };
}

/** @type {Record<string, FieldGroup[]>} */
const OTHERS = {
  owner: [
    {
      name: "owner",
      title: "Owner",
      fields: [
        field("phone", "Phone", "text"),
        field("email", "Email", "text"),
        field("address", "Address", "text"),
        field("resident", "Lives in the town", "resident"),
        field("note", "Note", "long"),
      ],
    },
  ],
  waiting: [
    {
      name: "waiting",
      title: "On the list",
      fields: [field("since", "Waiting since", "date"), field("areas", "Areas accepted", "names"), field("note", "Note", "long")],
    },
    { name: "boat", title: "Boat", fields: MOORING[0].fields.concat(field("boat.owner", "Owner's name", "text")) },
  ],
  note: [{ name: "note", title: "Note", fields: [field("text", "Text", "long")] }],
};

/**
 * The groups of fields of a record, tackle part by part.
 * @param {string} noun
 * @param {Record<string, Value>} record
 * @returns {FieldGroup[]}
 */
export function groupsOf(noun, record) {
  if (noun !== "mooring") return OTHERS[noun] ?? [];
  const tackle = /** @type {Record<string, Value>[]} */ (Array.isArray(record.tackle) ? record.tackle : []);
  const parts = tackle.map((part, i) => partGroup(i + 1, String(part.kind ?? ""), part));
  // A vacant mooring has no boat of which something could be set.
  const groups = record.boat ? MOORING : MOORING.filter(({ name }) => name !== "boat" && name !== "owner");
  const at = groups.findIndex(({ name }) => name === "place");
  return [...groups.slice(0, at), ...parts, ...groups.slice(at)];
}

/** Those of a record that is yet to be made: its name comes first. @param {string} noun @returns {FieldGroup[]} */
export function groupsOfNew(noun) {
  const [first, ...rest] = groupsOf(noun, {});
  return [{ ...first, fields: [field("name", "Name", "text"), ...first.fields] }, ...rest];
}

/** @type {Record<string, string>} */
const LABELS = {
  tackle: "The whole tackle",
  number: "Number",
  status: "Status",
  "position.lat_deg": "Latitude",
  "position.lon_deg": "Longitude",
  position: "Position",
  by: "By",
  at: "At",
  mooring: "Mooring",
  name: "Name",
  since: "Waiting since",
  id: "Id",
};
/** @type {Record<string, Kind>} */
const KINDS = { "position.lat_deg": "text", "position.lon_deg": "text" };

/** @type {Map<string, FieldSpec>} */
const BY_PATH = new Map([...MOORING, ...Object.values(OTHERS).flat()].flatMap((group) => group.fields.map((each) => [each.path, each])));
const BY_NOUN = new Map(
  Object.entries(OTHERS).flatMap(([noun, groups]) => groups.flatMap((group) => group.fields.map((each) => [noun + " " + each.path, each]))),
);

/** What a field is called where it stands alone. @param {string} noun @param {string} path */
export function fieldWords(noun, path) {
  const part = /^tackle\[(\d+)\]\.?(.*)$/.exec(path);
  if (part) return tackleField(part[1], part[2]);
  const photo = /^photos\[(\d+)\]$/.exec(path);
  if (photo) return "Picture " + photo[1];
  if (/^public\b/.test(path)) return "Shown to the public";
  const area = /^areas\[(\d+)\]$/.exec(path);
  if (area) return "Area " + area[1];
  const spec = BY_NOUN.get(noun + " " + path) ?? BY_PATH.get(path);
  if (!spec) return LABELS[path] ?? plain(path);
  if (path === "boat.owner" || path === "boat.kind") return path === "boat.owner" ? "Owner" : "Boat's kind";
  if (path.startsWith("boat.")) return "Boat's " + lower(spec.label);
  if (path.startsWith("permit.")) return "Permit's " + lower(spec.label);
  return spec.label;
}

/** A field of one part of the tackle. @param {string} number @param {string} field empty: the part itself */
function tackleField(number, field) {
  if (!field) return `Tackle ${number}`;
  const label = partGroup(1, "").fields.find((each) => each.path === "tackle[1]." + field)?.label ?? plain(field);
  return `Tackle ${number}, ${lower(label)}`;
}

/** @param {string} path */
const plain = (path) =>
  path
    .replace(/_(m|kg|deg)$/, "")
    .replaceAll("_", " ")
    .replace(/^./, (letter) => letter.toUpperCase());
/** @param {string} text */
const lower = (text) => text.charAt(0).toLowerCase() + text.slice(1);

/** @param {string} noun @param {string} path @returns {Kind | null} null: by its value alone */
function kindOf(noun, path) {
  const part = /^tackle\[\d+\]\.(.+)$/.exec(path);
  if (part) return partGroup(1, "").fields.find((each) => each.path === "tackle[1]." + part[1])?.kind ?? null;
  return (
    (BY_NOUN.get(noun + " " + path) ?? BY_PATH.get(path))?.kind ??
    KINDS[path] ??
    (/_m$/.test(path) ? "length" : /_kg$/.test(path) ? "weight" : null)
  );
}

/**
 * What stands in a field.
 * @param {string} noun
 * @param {string} path
 * @param {Value | undefined} value
 * @param {Units} units
 * @returns {string}
 */
export function valueWords(noun, path, value, units) {
  if (value === null || value === undefined || value === "" || (path === "permit.year" && value === 0)) return "not on record";
  switch (kindOf(noun, path)) {
    case "length":
      return exactLength(Number(value), units);
    case "size":
      return thickness(Number(value), units);
    case "weight":
      return weight(Number(value), units);
    case "share":
      return Math.round(Number(value) * 1000) / 10 + "\u00a0%";
    case "date":
      return dayWords(String(value));
    case "part":
      return partWords(String(value));
    case "resident":
      return value ? "yes" : "no";
    case "names":
      return Array.isArray(value) ? value.join(", ") || "any" : String(value);
  }
  if (path === "tackle" && Array.isArray(value)) return tackleWords(value, units);
  if (typeof value === "boolean") return value ? "yes" : "no";
  if (path === "at" && typeof value === "string") return whenWords(value);
  return typeof value === "object" ? JSON.stringify(value) : String(value);
}

/** A whole tackle, a part a line. @param {Value[]} parts @param {Units} units */
function tackleWords(parts, units) {
  const line = (/** @type {any} */ part) =>
    [
      partWords(String(part.kind ?? "")),
      ...partGroup(1, "")
        .fields.slice(1)
        .map(({ path }) => {
          const name = path.slice("tackle[1].".length);
          const value = part[name] ?? "";
          const words = value === "" ? "" : valueWords("mooring", path, value, units);
          return (
            words && ({ left: "worn: " + words + " left", installed: "installed " + words, inspected: "inspected " + words }[name] ?? words)
          );
        }),
    ]
      .filter(Boolean)
      .join(", ");
  return parts.map((part, i) => `${i + 1}. ${line(part)}`).join("\n") || "no part";
}

/**
 * To the centimetre: where two values stand side by side, a rounded one would hide what was changed.
 * @param {number} metres
 * @param {Units} units
 */
function exactLength(metres, units) {
  const text = inUnits(metres, units).toFixed(2);
  return (text.endsWith("0") ? text.slice(0, -1) : text).replace("-", "\u2212") + "\u00a0" + unitName(units);
}

/** A side of a change, which is a JSON text. @param {string} noun @param {string} path @param {string} json @param {Units} units */
export function sideWords(noun, path, json, units) {
  if (json === "") return "not on record";
  try {
    return valueWords(noun, path, JSON.parse(json), units);
  } catch {
    return json;
  }
}

/** @param {string} kind of a tackle part */
export const partWords = (kind) => kind.replaceAll("_", " ");

/** The kinds of tackle parts, from anchor to bow. */
export const PART_KINDS = [
  "anchor",
  "ground_chain",
  "top_chain",
  "elastic",
  "rope",
  "rode",
  "swivel",
  "shackle",
  "buoy",
  "pennant",
  "marker_line",
  "marker",
];

/** @param {string} noun @param {string} name */
export function nounWords(noun, name) {
  if (noun === "mooring") return `Mooring ${name}`;
  if (noun === "owner") return `The owner ${name}`;
  if (noun === "waiting") return `${name} on the waiting list`;
  if (noun === "note") return "A note";
  if (noun === "area") return `The area ${name}`;
  return noun === "harbor" ? "The harbor's record" : `${plain(noun)} ${name}`;
}

/** Left out of a history: what says the same in another way, or is only for the program. @param {FieldChange} change */
export const isTold = ({ field: path }) => !["number", "name", "id"].includes(path);
