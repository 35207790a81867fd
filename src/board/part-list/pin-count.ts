/** Families of bodies whose name ends in their number of pins. */
const NUMBERED =
  /(?:SO(?:IC|P|J|N)?|[TMSHV]{0,2}SSOP|MSOP|TSOP|VSSOP|U?[VWDXT]?QFN|[LTHCV]?QFP|[UVWX]?[DS]FN|WSON|VSON|USON|DIP|PDIP|SDIP|SIP|PLCC|BGA|MLP|LCC|LGA|SC-?70|SOT-?363|SOT-?353|SOT-?23|TO-?220|TO-?247|TO-?252|TO-?263|DPAK|D2PAK)[-_]?(\d{1,3})(?!\d)/i;

/** Bodies that tell their pins by their own name. */
const OWN: readonly (readonly [RegExp, number])[] = [
  [/SOT-?23-?8/i, 8],
  [/SOT-?(23-?6|363)|SC-?70-?6|TSOT-?6/i, 6],
  [/SOT-?(23-?5|353|25)|SC-?70-?5|TSOT-?5|TO-?(220|263)-?5/i, 5],
  [/SOT-?(223|143|89-?4)/i, 4],
  [
    /SOT-?(23|323|89|416|523|723)|SC-?(59|70|75)|TO-?(92|126|220|247|218|252|263|264|3P)|D2?PAK/i,
    3,
  ],
];

/** `2x05`, `1X04`: rows by columns of a connector. */
const GRID = /(?:^|[^\d])(\d{1,2})\s?[xX]\s?(\d{1,3})(?!\d|[.,]\d|mm)/;

/** Letters of parts that have two ends unless something says otherwise. */
const TWO_ENDS = new Set(
  'R RS C CE CY CX L FB F FU D LED ZD TVS RV MOV VDR NTC PTC RT TH Y XTAL JP W WL'.split(' '),
);

/**
 * How many pins a part of a bill of materials has, from its body's name or its letters; undefined
 * where neither tells.
 */
export function pinCountOf(letters: string, footprint: string, text: string): number | undefined {
  const grid = GRID.exec(`${footprint} `) ?? GRID.exec(`${text} `);
  if (grid !== null && /^(J|P|CN|CON|CONN|X|XP|XS|H|HDR|TB)$/.test(letters)) {
    const count = Number(grid[1]) * Number(grid[2]);
    if (count >= 1 && count <= 400) return count;
  }
  const own = OWN.find(([pattern]) => pattern.test(footprint));
  if (own !== undefined) return own[1];
  const numbered = Number(NUMBERED.exec(footprint)?.[1]);
  if (numbered >= 2 && numbered <= 999) return numbered;
  if (TWO_ENDS.has(letters)) return 2;
  if (letters === 'TP') return 1;
  return letters === 'Q' || letters === 'VT' ? 3 : undefined;
}
