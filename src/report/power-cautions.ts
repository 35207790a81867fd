/** What goes with every power-up: what to mind before it, what ends it, what to do then. */
import type { PowerView } from './power-plan.ts';

/** What to mind before first power, in sentences. */
export function cautionsOf({ isDangerous }: PowerView): string[] {
  const always = [
    'Local codes and licensed practice come first; nothing here replaces them.',
    'Clips and thermometer in place while it is dead; hands off while it is live. Eyes covered, lid or screen between: capacitors burst.',
    'Loads, motors, batteries, data cables off. What is not listed here is not connected.',
    'Wrist strap off before anything live.',
  ];
  if (!isDangerous) return always;
  return [
    ...always,
    'Dangerous voltage: not alone, one hand, no jewellery, insulating mat, switch in reach of the other person; meter and leads rated for it.',
    'Isolation transformer first: it takes the ground-fault breaker out of play. An earthed scope clip on the primary side is a short through the rectifier.',
  ];
}

/** What ends it at once. */
export function stopConditions({ hotCelsius, isDangerous }: PowerView): string[] {
  return [
    'the current stays at its limit longer than the capacitors need to charge',
    ...(isDangerous ? ['the lamp stays bright for two seconds, or pulses'] : []),
    'a rail does not rise with the source, or stands outside its range',
    `a part that must stay cool gets warm, or any part passes ${hotCelsius} °C while idle`,
    'smell, smoke, a hiss, a crack, a flash',
  ];
}

/** What to do then. */
export function duringStop({ isDangerous }: PowerView): string[] {
  return [
    isDangerous
      ? 'Off at the source and unplugged, not only switched off.'
      : 'Off at the source, leads out.',
    'Discharge through a resistor with insulated clips, never a screwdriver; measure below 1 V, wait some minutes, measure again.',
    'Say "power N stopped" and why. The board is then looked for shorts again: earlier readings prove nothing any more.',
  ];
}
