/** Rated voltages that parts are usually made for, V; makers' usual series. */
const CAPACITORS = [
  6.3, 10, 16, 25, 35, 50, 63, 80, 100, 160, 200, 250, 315, 400, 450, 500, 630, 1000,
];
const TRANSISTORS = [30, 40, 60, 80, 100, 150, 200, 250, 300, 500, 600, 650, 800, 900, 1200, 1700];
const RECTIFIERS = [40, 60, 100, 150, 200, 400, 600, 800, 1000, 1200, 1600];

/** Margins that designs usually leave. */
const CAPACITOR_MARGIN = 1.25;
const SEMICONDUCTOR_MARGIN = 1.5;

export const capacitorVolts = (volts: number): number =>
  above(CAPACITORS, volts * CAPACITOR_MARGIN);
export const transistorVolts = (volts: number): number =>
  above(TRANSISTORS, volts * SEMICONDUCTOR_MARGIN);
export const rectifierVolts = (volts: number): number =>
  above(RECTIFIERS, volts * SEMICONDUCTOR_MARGIN);
/** Breakdown of a suppressor that stands off a rail, V. */
export const suppressorVolts = (volts: number): number => Number((volts * 1.2).toPrecision(2));

/** An electrolytic capacitor that fits a rail, F. */
export function bulkFarads(volts: number): string {
  if (volts > 200) return '220u';
  return volts > 63 ? '470u' : '1000u';
}

/** Resistor from a rail's plus to ground that lets its capacitors down, Ω. */
export function bleederOhms(volts: number): string {
  if (volts > 200) return '220k';
  return volts > 63 ? '47k' : '10k';
}

function above(series: readonly number[], volts: number): number {
  return series.find((rating) => rating >= volts) ?? Math.ceil(volts / 100) * 100;
}
