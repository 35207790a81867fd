import fc from 'fast-check';

/** A netlist before it is written: what every form and dialect of it must give back. */
export interface Wiring {
  readonly parts: readonly { readonly name: string; readonly pins: readonly WiredPin[] }[];
}

interface WiredPin {
  readonly name: string;
  readonly net: string | undefined;
}

/** Chances a writer takes: numbers from 0 to below `n`, in an order the test can repeat. */
export type Chance = (n: number) => number;

/** Names that mean something to JavaScript, to numbers or to the forms themselves. */
const ODD = ['__proto__', 'constructor', 'toString', 'valueOf', 'hasOwnProperty', '1', '12', '00'];
const NET_LETTERS = [...'ABCabc019+-./()#?_{}~$'];
/** Brackets and `$` mean something in a deck. */
const NODE_LETTERS = [...'ABCabc019+-./#?_~'];

const word = (letters: readonly string[], most: number): fc.Arbitrary<string> =>
  fc.string({ unit: fc.constantFrom(...letters), minLength: 1, maxLength: most });

const netName = (most: number, letters: readonly string[]): fc.Arbitrary<string> =>
  fc
    .oneof(
      { arbitrary: word(letters, most), weight: 6 },
      {
        arbitrary: fc.constantFrom(
          ...ODD.filter((name) => name.length <= most),
          'GND',
          '24V_A',
          'm1',
        ),
        weight: 2,
      },
    )
    .filter((name) => !/^N\/C$|^NNAME|^-+$|^\/|^[+*;]/i.test(name));

const partName = (most: number): fc.Arbitrary<string> =>
  fc
    .oneof(
      {
        arbitrary: fc
          .tuple(word([...'RCLQDUJabz'], 2), fc.nat(99))
          .map(([letters, n]) => letters + n),
        weight: 5,
      },
      { arbitrary: fc.constantFrom(...ODD.filter((name) => name.length <= most)), weight: 1 },
    )
    .filter((name) => name.length <= most && name.toUpperCase() !== 'VIA');

const pinName = fc.oneof(
  { arbitrary: fc.nat(99).map((n) => String(n + 1)), weight: 5 },
  { arbitrary: fc.constantFrom('A1', 'K', 'G', 'AA16', '+'), weight: 2 },
);

/** Random wirings with names no longer than a form can hold. */
export function wirings(
  most: { net: number; part: number },
  letters: readonly string[] = NET_LETTERS,
): fc.Arbitrary<Wiring> {
  const nets = fc.uniqueArray(netName(most.net, letters), {
    minLength: 1,
    maxLength: 6,
    selector: upper,
  });
  const names = fc.uniqueArray(partName(most.part), {
    minLength: 1,
    maxLength: 8,
    selector: upper,
  });
  return fc.tuple(nets, names).chain(([list, parts]) => {
    const net = fc.option(fc.constantFrom(...list), { nil: undefined, freq: 6 });
    const pins = fc.uniqueArray(fc.record({ name: pinName, net }), {
      minLength: 1,
      maxLength: 5,
      selector: (pin) => upper(pin.name),
    });
    return fc
      .tuple(...parts.map(() => pins))
      .map((all) => ({ parts: parts.map((name, at) => ({ name, pins: all[at] ?? [] })) }));
  });
}

function upper(text: string): string {
  return text.toUpperCase();
}

/** Chances drawn by fast-check, so that a failure shrinks and repeats. */
export const chances: fc.Arbitrary<Chance> = fc.infiniteStream(fc.nat(0xffff)).map(
  (stream) =>
    (n: number): number =>
      (stream.next().value as number) % n,
);

function shuffled<T>(list: readonly T[], chance: Chance): T[] {
  const out = [...list];
  for (let at = out.length - 1; at > 0; at -= 1) {
    const other = chance(at + 1);
    [out[at], out[other]] = [out[other] as T, out[at] as T];
  }
  return out;
}

function flatPins(wiring: Wiring): { part: string; pin: string; net: string | undefined }[] {
  return wiring.parts.flatMap(({ name, pins }) =>
    pins.map((pin) => ({ part: name, pin: pin.name, net: pin.net })),
  );
}

/** How a program writes IPC-D-356. */
export interface IpcDialect {
  readonly aliases: 'none' | 'alone' | 'with keyword';
  /** Long designators push what follows to the right; otherwise there are none. */
  readonly pushes: boolean;
}

export function writeIpc(wiring: Wiring, dialect: IpcDialect, chance: Chance): string {
  const end = ['\n', '\r\n', '\r'][chance(3)] ?? '\n';
  const nets = new Set(flatPins(wiring).flatMap(({ net }) => net ?? []));
  const aliases = new Map<string, string>();
  const head = [
    'P  JOB made by a test',
    `P  UNITS ${['CUST 0', 'CUST 1', 'SI', 'CUST'][chance(4)]}`,
  ];
  for (const net of nets) {
    const isLong = net.length > 14 || chance(4) === 0;
    if (dialect.aliases === 'none' || !isLong) continue;
    const key = freeKey(aliases.size, dialect.aliases === 'alone' ? nets : new Set());
    aliases.set(net, dialect.aliases === 'alone' ? key : `NNAME${key}`);
    head.push(`${chance(3) === 0 ? 'C' : 'P'}  NNAME${key.padEnd(4)} ${net}`);
  }
  const records = flatPins(wiring).flatMap((pin) => {
    const record = ipcRecord({ ...pin, net: pin.net && (aliases.get(pin.net) ?? pin.net) }, chance);
    return chance(5) === 0 ? [record, record] : [record];
  });
  const noise = [
    '317GND              VIA         MD0118PA00X+000000Y+000000X0236Y0000R000 S3'.replace(
      'MD',
      ' D',
    ),
    'C  a remark between',
    '378GND            L01 X150 X7000Y5000 X8000 Y6000',
    '379A B',
    '367N/C              H1          D3200UA00X+002000Y+020000X3200Y0000R000 S3',
    '',
  ];
  const body = shuffled([...records, ...noise.filter(() => chance(2) === 0)], chance).flatMap(
    (line) =>
      line.startsWith('3') && chance(6) === 0
        ? [line, '017                       -     D0150PA00X+007000Y+005000']
        : [line],
  );
  return [...head, ...body, '999']
    .map((line) => (chance(2) === 0 ? line.padEnd(80) : line))
    .join(end);
}

function freeKey(at: number, taken: ReadonlySet<string>): string {
  let n = at + 1;
  while (taken.has(`m${n}`) || taken.has(String(n))) n += 100;
  return taken.size > 0 ? `m${n}` : String(n);
}

function ipcRecord(
  { part, pin, net }: { part: string; pin: string; net: string | undefined },
  chance: Chance,
): string {
  const code = ['317', '327', '307'][chance(3)] ?? '317';
  const name = (net ?? (chance(2) === 0 ? 'N/C' : '')).padEnd(14);
  const middle = chance(2) === 0 ? 'M' : ' ';
  const hole = chance(2) === 0 ? 'D0400P' : '      ';
  const number = (): string =>
    `${['+', '-', ' '][chance(3)]}${String(chance(9999)).padStart(6, '0')}`;
  const mask = chance(2) === 0 ? 'R000S1' : 'R000 S0';
  return `${code}${name}   ${part.padEnd(6)}-${pin.padEnd(4)}${middle}${hole}A0${chance(3)}X${number()}Y${number()}X0500Y0500${mask}`;
}

const PART_HEADS = ['part', 'Ref Des', 'Reference', 'Designator', 'COMPONENT', 'refdes'];
const PIN_HEADS = ['pin', 'Pin Number', 'Pad', 'PIN_NO', 'Pin#', 'Terminal'];
const NET_HEADS = ['net', 'Net Name', 'Signal', 'NETNAME', 'net_name'];

export function writePinList(wiring: Wiring, chance: Chance): string {
  const mark = [',', ';', '\t'][chance(3)] ?? ',';
  const end = chance(2) === 0 ? '\n' : '\r\n';
  const order = shuffled([0, 1, 2], chance);
  const pick = (heads: readonly string[]): string => heads[chance(heads.length)] ?? '';
  const quoted = (cell: string): string =>
    chance(2) === 0 || /[",;\t]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell;
  const row = (cells: readonly string[]): string =>
    order.map((at) => quoted(cells[at] ?? '')).join(mark);
  const rows = flatPins(wiring).flatMap(({ part, pin, net }) => {
    const none = ['', 'N/C', 'nc', 'no net'][chance(4)] ?? '';
    const line = row([part, pin, net ?? none]);
    return chance(6) === 0 ? [line, line] : [line];
  });
  const title = chance(3) === 0 ? ['Board of a test', ''] : [];
  const head = row([pick(PART_HEADS), pick(PIN_HEADS), pick(NET_HEADS)]);
  return (
    (chance(2) === 0 ? '\ufeff' : '') + [...title, head, ...shuffled(rows, chance)].join(end) + end
  );
}

/** Wirings a deck can hold. */
export function deckWirings(): fc.Arbitrary<Wiring> {
  // Node 0 is GND by another name.
  return wirings({ net: 40, part: 14 }, NODE_LETTERS).filter(({ parts }) =>
    parts.every(({ pins }) => pins.every(({ net }) => net !== '0')),
  );
}

/** Nets that are spelt alike but for their case are one in a deck; {@link wirings} has none such. */
export function writeDeck(wiring: Wiring, chance: Chance): string {
  const end = chance(2) === 0 ? '\n' : '\r\n';
  let loose = 0;
  const node = (net: string | undefined): string => {
    if (net === undefined) return `loose_${++loose}`;
    if (net === 'GND' && chance(2) === 0) return '0';
    return chance(3) === 0 ? net.toUpperCase() : net;
  };
  const calls: string[] = [];
  const models: string[] = [];
  for (const [at, { name, pins }] of wiring.parts.entries()) {
    const nets = pins.map((pin) => node(pin.net));
    calls.push(spread([`X${name}`, ...nets, `MODEL_${at}`], chance, end));
    models.push(
      [`.subckt model_${at} ${pins.map((pin) => pin.name).join(' ')}`, '.ends'].join(end),
    );
  }
  const noise = ['* a remark', '.tran 1u 1m', '', '.control\nrun\n.endc'.replaceAll('\n', end)];
  const body = shuffled([...calls, ...models, ...noise.filter(() => chance(2) === 0)], chance);
  return ['a test', ...body, '.end'].join(end) + end;
}

/** Words of one line, some of them continued on the next. */
function spread(words: readonly string[], chance: Chance, end: string): string {
  const [first = '', ...rest] = words;
  return rest.reduce((line, next) => {
    const gap = [' ', '\t', '  ', `${end}+ `, `${end}* between${end}+`, ', '][chance(6)] ?? ' ';
    return line + gap + next;
  }, first);
}
