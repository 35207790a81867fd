// What a meter shows, worked out here from its figures alone: which range it settles on, when it gives up.

/**
 * @param drive `{ ranges, volts }`, lowest range first
 * @param leadOhms 0 for a mode with four wires
 * @param voltsAt volts across the points for a current, without leads; above the drive's volts when it takes more
 * @param slack ratio by which every limit is widened (above 0) or narrowed (below 0)
 * @param slackVolts the same as volts, where that is more
 * @returns `{ kind, value, amps }`
 */
export function shownBy(mode, drive, leadOhms, voltsAt, slack = 0, slackVolts = 0) {
  const widened = (volts) =>
    volts + Math.sign(slack) * Math.max(Math.abs(slack) * volts, slackVolts);
  let amps = 0;
  for (const range of drive.ranges) {
    amps = range.amps;
    const volts = voltsAt(amps) + leadOhms * amps;
    if (volts > widened(drive.volts) || volts > widened(range.ohms * amps)) continue;
    return mode === 'diode'
      ? { kind: 'volts', value: volts, amps }
      : { kind: 'ohms', value: volts / amps, amps };
  }
  return { kind: 'over', value: Number.POSITIVE_INFINITY, amps };
}

export function leadOhmsOf(meter, mode) {
  return mode === 'four-wire' ? 0 : meter.leadOhms;
}

/** Every current a meter with these drives may send, A, each once. */
export function currentsOf(drives) {
  const all = Object.values(drives).flatMap(({ ranges }) => ranges.map(({ amps }) => amps));
  return [...new Set(all)].sort((a, b) => b - a);
}

/** The handheld with every mode there is: low-voltage ohms and four-wire beside its own three. */
export function meterOfAllModes(handheld) {
  const { ohms } = handheld.drives;
  const lowVoltage = ohms.ranges.map((range) => ({ ohms: range.ohms, amps: range.amps / 2 }));
  const fourWire = [
    { ohms: 10, amps: 0.1 },
    { ohms: 100, amps: 1e-2 },
    { ohms: 1000, amps: 1e-3 },
  ];
  return {
    ...handheld,
    drives: {
      ...handheld.drives,
      'low-voltage': { ranges: lowVoltage, volts: 0.25 },
      'four-wire': { ranges: fourWire, volts: 2 },
    },
  };
}
