/** One thing an eye saw of a board that its file lacks or has otherwise; names as they are written. */
export type Growth = Joins | Goes | Is;

/** A wire link or zero-ohm link between two nets. */
export interface Joins {
  readonly do: 'joins';
  readonly part: string;
  readonly ends: readonly [End, End];
  /** What the file says otherwise is wrong. */
  readonly instead: boolean;
}

/** A pin sits on a net; what was said of another pin is recorded of the net that pin was on. */
export interface Goes {
  readonly do: 'goes';
  readonly part: string;
  readonly pin: string;
  readonly to: End;
  readonly instead: boolean;
}

/** What a part is, and its values. */
export interface Is extends GrownValues {
  readonly do: 'is';
  readonly part: string;
  /** Name of its kind; left out when only a value is told. */
  readonly kind?: string;
  /** What it is called where no kind fits. */
  readonly text?: string;
  readonly instead: boolean;
}

/** Ω, F, H, V. */
export interface GrownValues {
  readonly ohms?: number;
  readonly farads?: number;
  readonly henries?: number;
  readonly volts?: number;
}

export interface End {
  readonly net: string;
  /** A net that the file does not know yet, on purpose. */
  readonly isNew: boolean;
}

export const VALUE_KEYS = ['ohms', 'farads', 'henries', 'volts'] as const;

/** The net of a pin that nobody has followed yet. */
export const unseenNet = (part: string, pin: string): string => `UNSEEN_${part}_${pin}`;

/** Whether a net stands for a pin that nobody has followed yet. */
export const isUnseen = (net: string): boolean => net.startsWith('UNSEEN_');
