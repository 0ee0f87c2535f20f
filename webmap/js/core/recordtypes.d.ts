// The shapes of what is on record, of its history, and of who asks.

export type Role = "harbormaster" | "yard" | "crew" | "public";

/** Who asks, as the service knows them. */
export interface Person { name: string; role: Role; /** Whether anybody can sign in here. */ accounts: boolean; may: string[] | null }

/** What the page knows of who asks. */
export interface Me {
  get(): Person;
  /** When the service has said who asks, or could not. */
  known: Promise<void>;
  /** Whether they may do something here and now: never in a past. */
  may(what: May): boolean;
  /** Whether they may read what is kept from the public. */
  reads(): boolean;
  /** Whether somebody could sign in who may do more. */
  canSignIn(): boolean;
  /** Asks the service again. */
  look(): Promise<void>;
  /** The service has said so. */
  take(person: Person): void;
  /** Whoever answers "gone" hears no more. */
  on(listener: (person: Person) => void | "gone"): void;
}
/** What somebody may do besides looking at the map, in the service's words; names: read what is kept from the public. */
export type May = "names" | "positions" | "notes" | "inspections" | "tackle" | "swaps" | "moorings" | "owners" | "waiting" | "accounts";

/** What may stand on record: plain JSON. */
export type Value = string | number | boolean | null | Value[] | { [name: string]: Value };
export type Noun = "mooring" | "owner" | "waiting" | "note" | "area" | "harbor";
export interface RecordAnswer { noun: Noun; name: string; revision: number; record: { [name: string]: Value }; may: string[] | null }

/** One field before and after, as JSON text; empty where it was not there. */
export interface FieldChange { field: string; before: string; after: string }
export interface Change {
  id?: number; revision: number; at: string; who: string; why: string; noun: string; name: string; fields: FieldChange[] | null;
}
export interface HistoryAnswer { changes: Change[] | null; more: boolean }

export interface Note { id: string; mooring?: string; at: string; by: string; text: string; photos: string[] | null }
export interface Owner { name: string; phone: string; email: string; address: string; resident: boolean | null; note: string }

/** What somebody has changed, as it is told while the page is open. Who and why are empty for the public. */
export interface News { revision: number; at: string; who: string; why: string; changed: { noun: string; name: string }[] | null }

export interface SearchResult { noun: "mooring" | "owner" | "note" | "waiting"; name: string; number: string; title: string; words: string }

export interface Account { name: string; role: Role; disabled: boolean; created: string; signed_in?: string | null; from?: string }
export interface Token { name: string; role: Role; expires: string; last_used: string | null }
export interface FailedSignIn { at: string; name: string; from: string }

/** How a field is typed and shown. */
export type Kind = "text" | "long" | "length" | "size" | "weight" | "share" | "date" | "year" | "part" | "area" | "resident" | "names";
export interface FieldSpec { path: string; label: string; kind: Kind }
export interface FieldGroup { name: string; title: string; fields: FieldSpec[] }

/** A field that two have changed since the same state of the record. */
export interface Clash { path: string; mine: Value | undefined; theirs: Value | undefined }
export interface Merge {
  clashes: Clash[];
  /** What only they have changed. */
  theirs: { path: string; before: Value | undefined; after: Value | undefined }[];
  /** Mine and theirs stand in the same group: what is merged is to be looked at before it is sent. */
  near: boolean;
  /** Their tackle has other parts in other places than it had. */
  shifted: boolean;
}
