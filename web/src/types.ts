// What the server and the page tell each other (docs/api.md). Lengths are chart millimetres: x to the
// right of the centre line as one looks at the front, y up from the bill seam.

export type Units = 'mm' | 'inch';
export type Shading = 'threads' | 'hazard' | 'time';
export type Xy = [number, number];

export interface Thread {
  name: string;
  rgb: string;
  tex: number;
  needle: number;
}

export interface SewnObject {
  id: number;
  kind: 'column' | 'fill' | 'run';
  thread: number;
  words: string;
}

export interface Block {
  object: number;
  layer: 'under' | 'top' | 'lock' | 'travel';
  thread: number;
  first: number;
  count: number;
  speed_spm: number;
}

/** One letter an entry of `op`: s sew, m move, t trim, c thread change, p stop, e end. */
export interface Entries {
  x: number[];
  y: number[];
  op: string;
  /** Chance of a needle break at that penetration; 0 where the needle does not go down. */
  hazard: number[];
  /** Seconds since the start at the end of the entry. */
  time_s: number[];
}

export interface WorstPlace {
  number: number;
  entry: number;
  x_mm: number;
  y_mm: number;
  p: number;
  part: string;
  where: string;
  detail: string;
  why: string;
  helps: string;
  share: number;
}

export interface GapGrid {
  x0: number;
  y0: number;
  step_mm: number;
  nx: number;
  ny: number;
  /** Row by row from y0 up. */
  mm: (number | null)[];
}

export interface GapReading {
  x_mm: number;
  y_mm: number;
  gap_mm: number;
  sd_mm?: number;
}

export interface CapShape {
  title: string;
  has_seam: boolean;
  profile: [number, number, number][];
  arc_to_button_mm: number;
  eyelets: [number, number, number][];
  bill: Record<string, number>;
  panels?: number;
  head_ratio: number;
  rgb: string;
}

export interface Ground {
  cap: CapShape;
  window: [number, number, number, number];
  field: Xy[];
  keep_outs: Xy[][];
  unreachable_mm: number;
  gap: GapGrid;
  readings: GapReading[];
  usual: { lowest_mm: number | null; top_mm: number | null };
  start: Xy;
  turn_deg: number;
  turned_by: 'file' | 'controller';
}

/** Artwork that cannot be sewn as asked: outlines, and what of it the needle cannot reach. */
export interface UnfitArtwork {
  outline: Xy[][];
  outside: Xy[][];
}

export interface View {
  revision: number;
  threads: Thread[];
  objects: SewnObject[];
  blocks: Block[];
  entries: Entries;
  /** Of a rework, by entry: the hazard with the best changes made. */
  best_hazard: number[] | null;
  time_s: number;
  worst: WorstPlace[];
  /** Where there are no stitches because the artwork cannot be sewn as asked. */
  unfit: UnfitArtwork | null;
  ground: Ground;
}

export interface Fault {
  code: string;
  what: string;
  where: string;
  hint: string;
}

export type JobState = 'empty' | 'planning' | 'done' | 'refused' | 'failed' | 'cancelled';
export type Word = 'run' | 'rework' | 'refuse';

export interface Estimate {
  mean: number;
  low: number;
  high: number;
}

export interface Change {
  id: string;
  breaks: number;
  time_s: number;
  registration_mm: number | null;
  cost: number | null;
  chosen: boolean;
}

export interface Offer {
  cap: string;
  mount: string;
  set: string[];
  height_mm: number;
  at_mm: Xy;
  fits: boolean;
  breaks_per_100_caps: number | null;
  time_s: number | null;
  price: number | null;
  why: string;
  tallest_mm?: number;
}

export interface Practice {
  id: string;
  what?: string;
  value: number;
  limit: number;
  unit: string;
  kept: boolean;
}

export interface Note {
  kind: string;
  source: string;
  at_mm: Xy | null;
  why: string;
}

export interface PerCap {
  time_s: number;
  stitches: number;
  trims: number;
  thread_changes: number;
  needle_m: number[];
  bobbin_m: number;
}

export interface Verdict {
  buckram_verdict: 1;
  verdict: Word;
  limit_breaks_per_100: number;
  breaks_per_100_caps: Estimate | null;
  best_breaks_per_100_caps: Estimate | null;
  clean_cap: number | null;
  gap_mm: { mean: number; max: number } | null;
  drivers: Record<string, number> | null;
  coverage: { missed: number; spilled: number; left_out: number } | null;
  per_cap: PerCap | null;
  practice: Practice[];
  changes: Change[];
  offers: Offer[];
  notes: Note[];
  cautions: string[];
}

/** What a change is called, why it helps and what to take care of. */
export interface Told {
  words: string;
  why: string;
  caution: string;
}

/** The verdict in the program's own words; the changes by id. */
export interface VerdictWords {
  sentence: string;
  changes: Record<string, Told>;
}

export interface Breaks {
  breaks_per_100_caps: { mean: number };
  /** "about 2 needle breaks per 100 caps" */
  words: string;
}

/** What can be seen of a run before its files: view and number, then the verdict too. */
export interface Ahead extends Breaks {
  revision: number;
  has: 'stitches' | 'verdict';
}

/** The job as it was resolved, every key named: `plan.json`'s "job". */
export type Settings = Record<string, unknown>;

export interface Job {
  id: string;
  title: string;
  state: JobState;
  /** Of what is asked. */
  revision: number;
  /** Of the files; 0 while there are none. */
  shown_revision: number;
  settings: Settings;
  set: string[];
  /** Id of the artwork; null for lettering, or for none yet. */
  artwork: string | null;
  /** Name of the layout that the machine's own file is written in. */
  layout: string | null;
  made: string;
  changed: string;
  undo: string | null;
  redo: string | null;
  error: Fault | null;
  verdict: Verdict | null;
  words: VerdictWords | null;
  ahead: Ahead | null;
  ticket: Record<string, unknown>;
  progress: Progress | null;
}

/** What may be asked of a job at once. */
export interface Ask {
  artwork?: string;
  layout?: string;
  set?: string[];
  /** Keys that go back to their default. */
  unset?: string[];
}

export interface JobRow {
  id: string;
  title: string;
  changed: string;
  state: JobState;
  verdict: Word | null;
  breaks_per_100_caps: number | null;
  artwork: string;
  cap: string;
  mount: string;
  height_mm: number | null;
  caps: number;
  has_preview: boolean;
}

export interface Named {
  name: string;
  title: string;
}

export interface Mount extends Named {
  max_raise_mm: number;
}

export interface KeyRange {
  least?: number;
  most?: number;
  unit?: string;
  step?: number;
  choices?: string[];
}

export interface Layout extends Named {
  file: string;
}

export interface Fabric extends Named {
  thickness_mm: number;
  is_backing: boolean;
}

export interface Lists {
  caps: Named[];
  mounts: Mount[];
  needles: string[];
  fabrics: Fabric[];
  threads: { number: string; name: string; rgb: string; tex: number }[];
  layouts: Layout[];
  fonts: string[];
  keys: Record<string, KeyRange>;
}

export interface Artwork {
  artwork: string;
  name: string;
  /** null where the file does not say how large a unit is. */
  width_mm: number | null;
  height_mm: number | null;
}

export interface Progress {
  revision: number;
  stage: string;
  done: number;
  of: number;
}

export interface Patched {
  revision: number;
  quick: (Breaks & { of: string }) | null;
}
