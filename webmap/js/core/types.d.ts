// The shapes that the page's modules pass to each other: the service's JSON, and the page's own.
import type { Change, Me, News, Note, Owner } from "./recordtypes";
import type { Feature, FeatureCollection, LineString, MultiLineString, MultiPolygon, Point, Polygon } from "geojson";

export type Units = "feet" | "metres";
/** A sentence of the service in the units that a reader may have chosen. */
export interface Words { feet: string; metres: string }
/** Of a pair; and of a mooring, which may also have another trouble than a conflict, or not be fully checked. */
export type PairState = "clear" | "tight" | "may_touch" | "touching";
export type State = PairState | "trouble" | "unsaid";
export type Certainty = "certain" | "possible";

/** What can be seen of a mooring at a glance: its state, or that it is vacant or unknown. */
export type Look = State | "vacant" | "unknown";

export interface Levels { datum: string; low_m: number; high_m: number }

export interface Counts {
  moorings: number; vacant: number; conflicts: number; certain: number; hazards: number; troubles: number; unknown: number;
  soundings: number;
}

export interface HarborInfo {
  slug: string; name: string; units: Units; revision: number; caution: string;
  levels: Levels | null;
  bounds: [number, number, number, number] | null;
  counts: Counts;
  background: { url: string; attribution: string } | null;
  areas: { name: string; moorings: number; rules: Rules }[];
  worst: { a: string; b: string } | null;
  /** Water kept free beside the shore. */
  shore_setback_m?: number;
  /** Whether the water can be predicted. */
  tide?: boolean;
  /** Of a past: when it stood so. */
  as_of?: string | null;
  /** Kinds of record that the public may see beyond the map. */
  public?: string[];
}
export interface HarborEntry { slug: string; name: string; moorings: number; revision: number }

export interface MooringProperties {
  number: string; area: string | null; status: "occupied" | "vacant";
  boat: string | null; boat_kind: string | null;
  loa_m: number | null; length_all_m: number | null; beam_m: number | null; draft_m: number | null;
  bow_height_m: number | null; rode_m: number | null;
  depth_m: number | null; depth_from: string | null; accuracy_m: number | null;
  radius_m: number | null; radius_rule: string; radius_bound: boolean; radius_basis: string;
  state: State | null; conflicts: number; hazards: string[]; troubles: string[]; unknown: string[];
}
export type MooringCollection = FeatureCollection<Point, MooringProperties>;

/** A mooring as the map draws it: what the service says, and its place on the flat map of the whole world (0 to 1). */
export interface Buoy extends MooringProperties {
  lat_deg: number; lon_deg: number;
  x: number; y: number; perMetreX: number; perMetreY: number;
  look: Look;
}

export interface Position { lat_deg: number; lon_deg: number }
export interface Forms { dd: string; ddm: string; dms: string }

/** How a pair is judged: by its circles, or by its hulls as both lie to one wind and stream. */
export type Lying = "independent" | "in_unison";
/** The weather in which two hulls come closest. */
export interface PairWeather {
  wind_from_deg: number; wind_ms: number; gust: number; stream_to_deg: number; stream_ms: number; level_m: number;
}
export interface Unison {
  gap_m: number | null; weather: PairWeather | null; a_deg: number; b_deg: number; unsettled_a: boolean; unsettled_b: boolean;
  hull_a: [number, number][] | null; hull_b: [number, number][] | null; at: Position; why: Words;
}
/** With lying in_unison, overlap_m is that of the hulls. */
export interface Conflict {
  a: string; b: string; distance_m: number; overlap_m: number; certainty: Certainty; state: PairState;
  margin_m: number; accuracy_m: number; at: Position; bound: boolean; lying: Lying; unison: Unison | null;
}
export interface Hazard {
  mooring: string; kind: string; reason: string; by_m: number; has_m: number; needs_m: number; at: Position; certainty: Certainty;
  name: string; words: Words; bound: boolean;
}
/** The kinds of trouble. */
export type Kind = "conflict" | "hazard" | "tackle" | "limit" | "record";
/** What is asked of a boat on a mooring, and whether it is kept; fits is null where it cannot be said. */
export interface Verdict {
  constraint: string; kind: Kind; of: string; fits: boolean | null; has: number | null; needs: number | null; spare: number | null;
  /** needs is the most that may be. */
  most: boolean; unit: string; reason: string; certainty?: Certainty; bound: boolean; missing: string[]; at: Position | null;
  working: Step[] | null; lying?: Lying; unison?: Unison | null; words: Words;
}
/** A verdict that is not kept or cannot be said; without a mooring it holds for the whole harbor. */
export interface Finding { mooring: string; verdict: Verdict }
export interface Report { conflicts: Conflict[] | null; hazards: Hazard[] | null; troubles: Finding[] | null; unknown: Finding[] | null }

export interface Step { symbol: string; name: string; formula: string; value: number; unit: string; from: string; note: string }
export interface Swing {
  rule: string; radius_m: number | null; bound: boolean; basis: string;
  working: Step[] | null; missing: string[] | null; faults: Words[] | null;
}
export interface Part {
  kind: string; length_m: number | null; size_m: number | null; weight_kg: number | null; material: string;
  /** What was left at the last inspection, 0 to 1; dates as 2024-03-15. */
  left?: number; installed?: string; inspected?: string;
}
export interface Boat {
  name: string; kind: string; loa_m: number | null; length_all_m: number | null; beam_m: number | null;
  draft_m: number | null; bow_height_m: number | null; owner?: string;
}
export interface Rules {
  swing?: { rule: string }; margin_m?: number; keel_margin_m?: number;
  largest_loa_m?: number | null; largest_draft_m?: number | null; lying?: Lying; design?: Design;
}
/** What an area's tackle and pairs are judged for; null where it is assumed. */
export interface Design {
  wind_ms: number | null; gust: number | null; scatter_deg: number | null; stream_ms: number | null; stream_deg: number | null;
}
export interface MooringRecord {
  number: string; area: string; status: string; position: Position; accuracy_m: number | null; depth_m: number | null;
  radius_m: number | null; tackle: Part[] | null; boat: Boat | null;
  largest_loa_m: number | null; largest_draft_m: number | null; note: string; permit?: { year: number; expires: string };
}
export interface Neighbour {
  number: string; distance_m: number; bearing_true_deg: number; gap_m: number | null; state: PairState | "" | null; lying: Lying;
  unison: Unison | null;
}
/** Where the buoy can lie. */
export interface Watch {
  radius_m: number | null; calm_m: number | null; under_above_m: number | null; below_m: number | null; missing: string[];
}
/** The radius by a rule that could be chosen, and what choosing it gives up. */
export interface ByRule {
  rule: string; radius_m: number | null; bound: boolean; working: Step[] | null; missing: string[] | null; words: Words;
}

/** How the boat on a mooring lies, by level and wind. */
export interface Reaches {
  mooring: string; length_m: number;
  parts: { name: string; length_m: number; weight_n_per_m: number; stretches: boolean }[] | null;
  buoy_lift_n: number | null; assumed: string[] | null; gust: number; stream_ms: number; rows: ReachRow[] | null;
}
export interface ReachRow {
  level_m: number; wind_ms: number; load_n: number; table_load_n: number | null; table_why: Words;
  radius_m: number | null; table_radius_m: number | null; words: Words;
  state: LineState | null;
}
/** The line under a load: what lies on the bed, how the anchor is pulled, and where the buoy is. */
export interface LineState {
  on_bed_m: number; anchor_pull_n: number; anchor_pull_up_deg: number; buoy: { place: "afloat" | "under" | "lifted" } | null;
}
export interface Sheet {
  mooring: MooringRecord; positions: Forms; rules: Rules;
  depth: { depth_m: number | null; from: string; why: Words };
  accuracy: { accuracy_m: number | null; from: string };
  swing: Swing; by_rules: ByRule[] | null; watch: Watch; winter_watch: Watch; state: State | null;
  conflicts: Conflict[] | null; hazards: Hazard[] | null; troubles: Finding[] | null; unknown: Finding[] | null;
  neighbours: Neighbour[] | null;
  /** Left out where none may be seen. */
  notes?: Note[] | null;
  /** The record of the boat's owner, or null where there is none or none may be seen. */
  owner: Owner | null;
}

export interface Found {
  number: string; boat: string | null; area: string | null; distance_m: number | null; bearing_true_deg: number | null;
  lat_deg: number; lon_deg: number; position_ddm: string;
}
export interface FindAnswer { kind: "number" | "boat" | "position"; understood: (Position & Forms) | null; results: Found[] | null }
export interface Trial { number: string | null; position: Position & Partial<Forms>; fits: boolean | null; fit: Fit }
export interface Place { number: string; area: string | null; fits: boolean | null; least_gap_m: number | null; fit: Fit }

/** One way to read a text that could be two positions. */
export type Reading = string | (Partial<Position & Forms> & { words?: string; text?: string });
export interface Problem {
  type?: string; title?: string; status?: number; detail?: string; words?: Words; readings?: Reading[]; reasons?: Words[];
  changed?: Change[]; revision?: number;
}

/** Everything of a harbor that the page has been told so far. */
export interface HarborData {
  info: HarborInfo;
  buoys: Buoy[];
  byNumber: Map<string, Buoy>;
  report: { conflicts: Conflict[]; hazards: Hazard[]; troubles: Finding[]; unknown: Finding[] };
  depthAreas: Feature<MultiPolygon | Polygon, { from_m: number | null; to_m: number | null }>[];
  depthLines: Feature<LineString | MultiLineString, { depth_m: number }>[];
  soundings: Feature<Point, { depth_m: number }>[];
  shoreline: Feature<MultiPolygon | Polygon | MultiLineString | LineString, { kind?: string }>[];
  fairways: Feature<MultiPolygon | Polygon, { name: string; kind: string; reason?: string; setback_m?: number }>[];
  areas: Feature<MultiPolygon | Polygon, { name: string }>[];
  /** Moorings that others have changed and that have not been looked at since. */
  fresh: Set<string>;
}

/** A kind of trouble, or what cannot be said. */
export type Shown = Kind | "unsaid";
export type Question = "where" | "fit" | "which" | "lie" | "next" | "free";
export type Level = "low" | "high" | number;

/** All of the view that the address carries. */
export interface View {
  harbor: string;
  at: { lat_deg: number; lon_deg: number } | null;
  zoom: number | null;
  mooring: string;
  /** The trouble of that mooring that is pointed out: the other mooring's number, or a hazard's kind. */
  with: string; hazard: string;
  panel: Question | "";
  list: "troubles" | "moorings";
  /** What the list of troubles shows. */
  kinds: Shown[];
  area: string;
  /** Empty until somebody chooses: the harbor's own. */
  units: Units | "";
  level: Level;
  contrast: boolean;
  /** The field as it stood then: a date, or a time after RFC 3339; empty: as it is. */
  on: string;
}
/** Whether a change of the view is a step that Back undoes. */
export type How = "push" | "replace";
/** An object whose fields are subscribed to. */
export interface Observable<T> {
  get(): T;
  set(patch: Partial<T>, how?: How): void;
  /** Takes over a whole state that came from the address. */
  back(whole: T): void;
  /** Calls `hear` after each change of one of those fields, of any where null; earlier subscribers first. */
  subscribe(fields: readonly (keyof T)[] | null, listener: (now: T, changed: Set<keyof T>, how: How | "back") => void): void;
}
export type Store = Observable<View>;

/** What the page shows beside what its address holds; null where there is nothing of it. */
export interface Scene {
  /** The worst conflict, which is pointed out until somebody opens something. */
  greeting: { a: string; b: string } | null;
  /** What stands under the questions, nothing where its title is null; `make` writes it in the units of the moment. */
  answer: { title: string | null; make: () => Node[] };
  /** A boat that is only tried. */
  tried: Tried | null;
  /** A place that is pointed out. */
  pin: Position | null;
  /** The field as it lies to a weather. */
  laid: Laid | null;
  /** Open water and the numbered places. */
  places: WaterShown | null;
  trial: TrialShown | null;
  /** An area with another rule or tackle. */
  change: Changed | null;
  /** Moorings that others have changed and that have not been looked at since, each with when. */
  marked: { fresh: Map<string, number> } | null;
  tide: TideTable | null;
  /** What somebody else has changed last. */
  news: News | null;
  /**
   * How often these have come: the moorings, the report, any piece of the harbor, what the harbor says of itself; and how often another
   * person asks than before.
   */
  moorings: number; report: number; pieces: number; info: number; person: number;
}

/** What a canvas is drawn with: world to pixels, and the look. */
export interface Frame {
  ctx: CanvasRenderingContext2D;
  width: number; height: number; dpr: number; zoom: number;
  /** pixel = world * k - o */
  k: number; ox: number; oy: number;
  theme: Theme;
}

export interface Theme {
  contrast: boolean;
  ink: string; quiet: string; halo: string; font: string; serif: string;
  land: string; landEdge: string; drying: string; depths: [number, string][]; deep: string; unsounded: string;
  depthLine: string; sounding: string;
  areaEdge: string; areaName: string; fairway: string; closed: string;
  ringFill: string; width: number;
  ring: Record<Look, string>;
  hazard: string; lens: string; selected: string; tried: string;
}

/** A try of a boat, drawn beside the moorings on record. */
export interface Tried {
  lat_deg: number; lon_deg: number; radius_m: number | null; loa_m: number | null; number: string; conflicts: Conflict[]; hazards: Hazard[];
}

/** Room for what is written on the map: true when it was free, and then it is taken. x and y are the middle, in pixels. */
export interface Room { take(x: number, y: number, width: number, height: number): boolean }

export interface Focus { mooring: string; with: string; hazard: string }
export type Hit = { kind: "mooring"; number: string } | { kind: "hazard"; hazard: Hazard } | { kind: "conflict"; conflict: Conflict };

/** What every panel of a harbor's page is given. */
export interface Page {
  store: Store;
  scene: Observable<Scene>;
  data: HarborData;
  units(): Units;
  /** Opens a mooring's sheet, and moves the map to it unless told otherwise. */
  open(number: string, more?: { with?: string; hazard?: string; stay?: boolean }): void;
  /** Moves the map to a place and marks it, without opening anything. */
  point(at: Position | null): void;
  /** Draws a boat that is only tried; null takes it away. */
  tryOut(tried: Tried | null): void;
  /** Lets somebody pick a place on the map; null when they think better of it. */
  pick(): Promise<Position | null>;
  /** Tells a screen reader. */
  say(words: string): void;
  /** Shows an answer under the questions; null takes it away. */
  answer(title: string | null, make?: () => Node[]): void;
  /** Opens the form by which a place is taken. */
  take(place: PlaceToTake): void;
  /** Asks who on the waiting list fits at a place. */
  whoFits(place: PlaceToTake): void;
  /** Looks at once whether the service holds a newer revision; true: what it holds is on the map. */
  refresh(): Promise<boolean>;
  /** Who asks, and what they may do. */
  me: Me;
  /** Opens the form to sign in; what is asked again is told when somebody has. */
  signIn(then?: () => void): void;
}

/** A place at which a mooring may be set, and what was asked to find it: boat, area and tackle. */
export interface PlaceToTake {
  at: Position; query: Record<string, string>; clearance_m: number | null; limit: Limit | null; waiting?: string;
}

/** A water level to lay the field at: a design level, the tide's of this moment, or metres above chart datum. */
export type Water = "low" | "high" | "now" | number;

/** What the boats are asked to lie to. */
export interface Asked { wind_from_deg: number; wind_kn: number; gust: number; stream_to_deg: number; stream_kn: number; water: Water }

/** An answer that is in view, and what it was asked by, in the service's own names. */
export interface Sought { answer: "room" | "capacity" | "waiting" | "what_if"; query: Record<string, string> }

export interface View {
  /** Null until somebody chooses: the form's own first values. */
  weather: Asked | null;
  /** Null while none of the answers that the address can bring back is in view. */
  sought: Sought | null;
}

export interface WeatherProperties {
  kind: "hull" | "gap" | "unknown"; number: string; boat: string | null;
  load_n: number | null; load_deg: number | null; stern_deg: number | null; reach_m: number | null;
  lies_to: "wind" | "stream" | "both" | "calm" | null; state: PairState | null;
  nearest: string | null; gap_m: number | null; margin_m: number | null; words_feet: string | null; words_metres: string | null;
}
export type WeatherCollection = FeatureCollection<MultiPolygon | Polygon | Point | null, WeatherProperties>;

export interface WeatherFrame {
  wind_from_deg: number; wind_ms: number; gust: number; stream_to_deg: number; stream_ms: number; level_m: number;
}
export interface Swinging {
  play: "shift" | "tide"; moorings: string[]; length_m: number[]; beam_m: number[];
  frames: { weather: WeatherFrame; at: string | null; lies: number[][] | null; gaps: number[][] | null }[];
  unknown: { mooring: string; words: Words }[] | null; words: string;
}
/** Swinging as the page keeps it: of each frame all boats in one row of figures. */
export interface Reel {
  play: "shift" | "tide"; numbers: string[]; length_m: number[]; beam_m: number[]; unknown: { mooring: string; words: Words }[];
  words: string;
  weather: WeatherFrame[]; at: (number | null)[]; lies: Float32Array[]; gaps: number[][][];
  /** The last moment, in frames. */
  last: number;
}

export interface Extreme { at: string; level_m: number; high: boolean }
export interface TideTable {
  station: string; source: string; caution: string; from: string; level_m: number; rising: boolean; extremes: Extreme[];
  step_minutes: number; levels_m: number[];
}

/** Boats as they lie at one moment, in columns, so that a frame of a play makes nothing anew. */
export interface Fleet {
  numbers: string[]; index: Map<string, number>;
  /** Anchors on the flat map of the whole world, and what a metre is there. */
  x: Float64Array; y: Float64Array; perMetreX: Float64Array; perMetreY: Float64Array;
  length_m: Float64Array; beam_m: Float64Array;
  /** Of each boat reach, direction to the bow, direction to the stern. */
  lies: Float64Array;
  /** As they are drawn, in pixels: bow, what leads from there to the stern, and half the beam across. */
  px: Float64Array;
  look: Uint8Array;
}
/** A gap under the margin, by the places of the two boats in the fleet. */
export interface GapShown { i: number; j: number; gap_m: number; state: "tight" | "may_touch" | "touching" }
/** A field that is laid: what the map draws of it. */
export interface Laid { fleet: Fleet; gaps: GapShown[]; unlaid: Set<string> }
/** What a laid field lies to, as it is written on the map. */
export interface LiesTo { wind_from_deg: number; wind_kn: number; gust: number; stream_to_deg: number; stream_kn: number; level: string }
export interface Theme {
  /** Of hulls that are drawn light. */
  hull: string;
}

/** What keeps a place from being better: its kind, and its name where it has one; of a mooring its number. */
export interface Limit { kind: string; name: string; clearance_m: number }
/** A place for one more anchor; no place that keeps its distance from the better ones beats bound_m. */
export interface Spot {
  position: Position; clearance_m: number; bound_m: number; radius_m: number | null; depth_m: number | null; rode_m: number | null;
  limits: Limit[]; distance_m: number | null; bearing_true_deg: number | null; fit: Fit;
}
export interface Remedy { kind: string; mooring: string; to: string; length_m: number | null; words: Words }
/** A place at which the boat nearly fits: what is missing, the most first, and what would free it. */
export interface Miss extends Spot { short: Limit[]; freeing: Remedy[] }
export interface SpotsAnswer { area: string; words: Words; spots: Spot[] | null; misses: Miss[] | null }
/** Where the anchor may stand; area_m2 is of the whole. */
export type OpenWater = FeatureCollection<MultiPolygon, { area_m2: number }>;

/** What the map draws of an answer about open water. */
export interface WaterShown {
  spots: NumberedPlace[]; fits: boolean; chosen: number; water: OpenWater | null; boat: { length_m: number | null; beam_m: number | null };
  /** Moorings that are laid again, from where they are. */
  moved: { from: Position; to: Position; radius_m: number | null }[];
  /** The area that is laid out anew: its moorings of today are only shown faintly. */
  instead: string;
}
/** A place that is numbered on the map; its radius is null while it is not known. */
export interface NumberedPlace { position: Position; radius_m: number | null }
/** The boat's circle at a place of one's own; clearance_m is null while it is not known. */
export interface TrialShown {
  at: Position; radius_m: number | null; clearance_m: number | null; limit: Limit | null; boat: WaterShown["boat"]; place: PlaceToTake;
}
export interface Theme {
  /** Of open water and of what fits there; of what does not fit, and of words about it. */
  openFill: string; openHatch: string; openEdge: string; misfit: string; misfitFill: string; misfitWords: string;
}

/** How many more boats go in, where, and a number that no layout beats. */
export interface Capacity {
  layout: "as_is" | "moved" | "hexagonal" | "square" | "free"; count: number; positions: Position[] | null; upper_bound: number;
  bound: Words; ended: boolean;
  moved: { number: string; position: Position; by_m: number }[] | null; unplaced: string[] | null;
  rows: number; rows_true_deg: number | null; spacing_m: number | null; row_gap_m: number | null;
}

/** A vacant mooring, or a place at which one may be set, with the first on the waiting list who fits it. */
export interface Offer {
  mooring: string; area: string; position: Position; open: boolean; name: string; since: string;
  passed: { name: string; words: Words }[] | null;
}
export interface Given { name: string; since: string; mooring: string; spare_m: number | null; words: string }
export interface Serving { offers: Offer[] | null; given: Given[] | null; largest_m: Record<string, number> | null; ended: boolean }

export interface Side { conflicts: number; certain: number; hazards: number; unknown: number; circles_m2: number }
export interface WhatIf { area: string; before: Side; after: Side; new: Conflict[] | null; gone: Conflict[] | null; words: string }
export interface Gained { like: string; boat: Boat; before: Capacity; after: Capacity; gained: number; words: string }
/** What the map draws of a change that is only tried. */
export interface Changed {
  buoys: Buoy[]; byNumber: Map<string, Buoy>; area: string; added: Conflict[]; gone: Conflict[]; mode: "is" | "would" | "both";
  pair: [string, string] | null;
}

/** What a mooring that was set is called, and at which state of the harbor. */
export interface ActionResult { number: string; revision: number; words: Words }

export type FitOutcome = "fits" | "fits_if" | "does_not_fit" | "cannot_be_said";
/** The fit check of a boat on a mooring. */
export interface Fit { mooring: string; area: string; boat: Boat; outcome: FitOutcome; verdicts: Verdict[]; swing: Swing; words: Words }
/** A way out for a boat that does not fit; all moorings that it changes, as they would be, and what they keep of their own troubles. */
export interface Remedy {
  id: string; kind: string; words: Words; mooring: string; moorings: { number: string }[]; remains: Finding[] | null;
}
export interface Fitting extends Fit { largest_m: number; remedies: Remedy[]; unsearched?: string[] }
