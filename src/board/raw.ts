import type { Spot } from './source-text.ts';

/**
 * A YAML document as it was written, before anything is known about its meaning: every scalar is
 * text, until a check turns it into what it stands for. Two readers make it, and both must make the same: `read-yaml.ts` and `read-plain.ts`. What
 * needs no changing to become a `Checked` becomes one as it is: a board has tens of thousands of these.
 */
export type Raw = RawText | RawList | RawMap | RawRefused;

export interface RawText extends Spot {
  readonly is: 'text';
  readonly value: string;
  /** True when it stood without quotes, so that YAML might read it as a number, flag or nothing. */
  readonly plain: boolean;
}

export interface RawList extends Spot {
  readonly is: 'list';
  readonly value: readonly Raw[];
}

export interface RawMap extends Spot {
  readonly is: 'map';
  readonly entries: readonly RawEntry[];
}

export interface RawEntry {
  readonly key: Raw;
  readonly value: Raw;
}

/** An anchor, alias or tag, which a board file may not use. */
export interface RawRefused extends Spot {
  readonly is: 'refused';
  readonly text: string;
}
