/** A board as a graph, in names: nets are bars, parts are boxes, alike parts share one. */
export interface GraphView {
  readonly board: string;
  /** What it was drawn round; undefined for the board's power nets. */
  readonly near?: string;
  readonly nets: readonly GraphNet[];
  readonly boxes: readonly GraphBox[];
  readonly lines: readonly GraphLine[];
  /** What the board has beside what is drawn. */
  readonly left: { readonly parts: number; readonly nets: number };
}

export interface GraphNet {
  /** Its number on the board. */
  readonly id: number;
  readonly name: string;
  /** `48 V bus`, where it is the plus of a rail; `return` where it is a minus. */
  readonly rail?: string;
  /** True when boxes name it instead of being joined to it by lines. */
  readonly byName: boolean;
  /** True when it is what was asked for. */
  readonly asked: boolean;
}

export interface GraphBox {
  readonly id: number;
  readonly parts: readonly string[];
  readonly what: 'part' | 'jumper';
  /** One entry for each kind in it. */
  readonly texts: readonly {
    /** `C1–C6`. */
    readonly names: string;
    /** `6 × electrolytic capacitor, 1 mF each`. */
    readonly what: string;
  }[];
  /** Nets told by name: `S: GND`. */
  readonly named: readonly string[];
  readonly asked: boolean;
}

/** From a box to a net. */
export interface GraphLine {
  readonly box: number;
  readonly net: number;
  /** Pins, where they are not alike: `D`. */
  readonly pins?: string;
  /** True when power comes from the net into the box: the net is drawn above. */
  readonly down: boolean;
}
