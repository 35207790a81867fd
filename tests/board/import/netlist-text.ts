/** Writes test records by their columns, so that the tests need not count blanks. */
export interface TestPad {
  readonly net: string;
  readonly part: string;
  readonly pin: string;
  readonly x?: number;
  readonly y?: number;
  /** `317` with a hole, or `327`. */
  readonly code?: '317' | '327';
  readonly access?: string;
}

export function padLine(pad: TestPad): string {
  const code = pad.code ?? '327';
  const hole = code === '317' ? 'D0400P' : '      ';
  const access = pad.access ?? (code === '317' ? '00' : '01');
  const place = `X${signed(pad.x ?? 0)}Y${signed(pad.y ?? 0)}X0500Y0500R000 S0`;
  const name = `${pad.net.padEnd(14)}   ${pad.part.padEnd(6)}-${pad.pin.padEnd(4)} `;
  return `${code}${name}${hole}A${access}${place}`;
}

/** `R1 A B` → pads R1-1 on A and R1-2 on B; `Q1 G:X D:Y` names the pads. */
export function netlistOf(...parts: string[]): string {
  const lines = parts.flatMap((text) => {
    const [part = '', ...ends] = text.split(' ');
    return ends.map((end, at) => {
      const colon = end.indexOf(':');
      const pin = colon < 0 ? String(at + 1) : end.slice(0, colon);
      return padLine({ part, pin, net: end.slice(colon + 1), x: at * 1000, y: part.length * 100 });
    });
  });
  return ['P  UNITS CUST 0', ...lines, '999'].join('\n');
}

function signed(value: number): string {
  return `${value < 0 ? '-' : '+'}${String(Math.abs(value)).padStart(6, '0')}`;
}
