/** One rail drawn in its places, in names: what is shown as text and as SVG, and what `--json` prints. */
export interface PictureView {
  readonly rail: string;
  readonly plus: string;
  readonly minus: string;
  /** Extent of all places, mm; absent where none is known. */
  readonly frame?: { readonly x: readonly [number, number]; readonly y: readonly [number, number] };
  /** Top first; a side without a place is left out. */
  readonly sides: readonly SideView[];
  /** What the shades stand for; absent where no reading is shaded. */
  readonly shaded?: string;
  /** Every reading of the rail in milliohms or millivolts, once: shaded ones first, nearest the short first. */
  readonly readings: readonly PictureReading[];
  /** Heaviest first. */
  readonly suspects: readonly { readonly part: string; readonly weight: number }[];
  /** Where the probes go next, when that is on this rail. */
  readonly next?: { readonly red: string; readonly black: string; readonly text: string };
  /** Parts of the rail whose place is not known. */
  readonly unplaced: readonly string[];
}

export interface SideView {
  readonly side: Side;
  readonly places: readonly PlaceView[];
}

export type Side = 'top' | 'bottom';

/** Where a part of the rail sits; of a large one, each group of its pads. */
export interface PlaceView {
  /** The part, or one of its pads where they lie apart. */
  readonly name: string;
  readonly part: string;
  /** mm. */
  readonly at: readonly [number, number];
  /** The newest shaded reading here. */
  readonly value?: {
    readonly text: string;
    readonly shade: Shade;
    /** Number of the event. */
    readonly id: number;
  };
  /** Set where the other probe of every shaded reading stood. */
  readonly isFixed?: true;
  /** As a suspect, 0–1. */
  readonly weight?: number;
  /** Probes of the next step. */
  readonly next: readonly ('red' | 'black')[];
  /** Stands for the place in a map, where it is what the map is about. */
  readonly sign?: string;
}

/** 4 nearest the short, 1 farthest from it. */
export type Shade = 1 | 2 | 3 | 4;

export interface PictureReading {
  /** Number of the event. */
  readonly id: number;
  readonly red: string;
  readonly black: string;
  readonly mode: 'four-wire' | 'millivolts';
  /** `30.1 mΩ`. */
  readonly text: string;
  readonly shade?: Shade;
  /** The place it is shown at; absent for one between two places, or where none is known. */
  readonly place?: string;
  /** The two places it lies between, where both are known. */
  readonly between?: readonly [string, string];
  /** `read again since`, `before the last change`, `0.5 A from V3 to GND`. */
  readonly notes: readonly string[];
}

/** A suspect lighter than this is marked but not named. */
export const NAMED_WEIGHT = 0.04;
