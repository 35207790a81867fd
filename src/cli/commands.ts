import type { Run } from './context.ts';

/** One option of a command, in the form commander takes. */
export interface OptionSpec {
  readonly flags: string;
  readonly help: string;
  /** Set when the value must be a whole number of at least this. */
  readonly wholeFrom?: number;
  /** Set when it may be given several times; the values make a list. */
  readonly many?: boolean;
}

/** One command: what it is called, what it takes, and where its code is, loaded only when run. */
export interface CommandSpec {
  readonly name: string;
  readonly args: string;
  readonly summary: string;
  readonly options: readonly OptionSpec[];
  readonly examples: readonly string[];
  readonly load: () => Promise<{ readonly run: Run }>;
}

const BOARD: OptionSpec = {
  flags: '--board <file>',
  help: 'the board file, when it is not where the job was opened with it',
};

/** For commands that weigh readings without a job, and for the one that opens a job. */
const METER: OptionSpec = {
  flags: '--meter <meter>',
  help: 'the meter: a name from `trace-short meter`, a file, or FILE:NAME',
};

/** For commands that are talked to at a terminal, where a meter may answer by itself. */
const METER_OR_LINK: readonly OptionSpec[] = [
  {
    flags: '--meter <meter>',
    help: 'the meter: a name, a file, or FILE:NAME; or one to listen to: tcp://HOST[:PORT], lines:DEVICE, -',
  },
  { flags: '--figures <meter>', help: "the meter's figures, where --meter says where it answers" },
];

const NO_SOUND: OptionSpec = { flags: '--no-sound', help: "leave the terminal's bell alone" };

export const COMMANDS: readonly CommandSpec[] = [
  {
    name: 'guide',
    args: '[job]',
    summary: 'the guided run, step by step; a meter may answer by itself',
    options: [
      {
        flags: '--meter <link>',
        help: 'listen to a meter: tcp://HOST[:PORT], lines:DEVICE, or - for lines on standard input',
      },
      {
        flags: '--figures <meter>',
        help: "the meter's figures, for a job opened in this run: as --meter of start",
      },
      NO_SOUND,
    ],
    examples: [
      'trace-short guide job.yaml',
      'trace-short guide job.yaml --meter tcp://192.168.1.20',
      'trace-short guide job.yaml --meter lines:/dev/ttyUSB0',
    ],
    load: () => import('./commands/guide.ts'),
  },
  {
    name: 'start',
    args: '<board>',
    summary: 'open a job on a board',
    options: [
      { flags: '-o, --out <job>', help: 'the job file to make (default: named after the board)' },
      { flags: '--purpose <purpose>', help: 'repair (default) or refurbish' },
      METER,
      {
        flags: '--reference <file>',
        help: 'what a good board of the same kind read; see trace-short reference',
      },
    ],
    examples: [
      'trace-short start board.yaml',
      'trace-short start board.yaml -o job.yaml',
      'trace-short start board.yaml --reference good.readings',
    ],
    load: () => import('./commands/start.ts'),
  },
  {
    name: 'next',
    args: '<job>',
    summary: 'the next step, why, and what each answer would mean',
    options: [BOARD],
    examples: ['trace-short next job.yaml', 'trace-short next job.yaml --json'],
    load: () => import('./commands/next.ts'),
  },
  {
    name: 'log',
    args: '<job> <say...>',
    summary: 'record readings, lifts, looks, replacements; say what changed',
    options: [BOARD],
    examples: [
      'trace-short log job.yaml "P48 GND beep"',
      'trace-short log job.yaml "lift W3" "P48 GND quiet"',
      'trace-short log job.yaml undo 2',
      'trace-short log job.yaml - < lines.txt',
    ],
    load: () => import('./commands/log.ts'),
  },
  {
    name: 'why',
    args: '<job> [point] [black]',
    summary: 'explain a pair of points, a part, or everything so far',
    options: [BOARD],
    examples: [
      'trace-short why job.yaml',
      'trace-short why job.yaml P48 GND',
      'trace-short why job.yaml Q3',
    ],
    load: () => import('./commands/why.ts'),
  },
  {
    name: 'picture',
    args: '<job> <rail...>',
    summary: 'a rail in its places, with readings in milliohms and suspects',
    options: [
      { flags: '--svg <file>', help: 'write it as a drawing (default: print it as text)' },
      { flags: '--overwrite', help: 'replace the file when it is there already' },
      BOARD,
    ],
    examples: [
      'trace-short picture job.yaml P3V3',
      'trace-short picture job.yaml "3.3 V" --svg rail.svg',
    ],
    load: () => import('./commands/picture.ts'),
  },
  {
    name: 'where',
    args: '<file> <point> [black]',
    summary: 'where a part, pin or net is: the handiest pad, its neighbours, a map of that corner',
    options: [
      BOARD,
      { flags: '--svg <file>', help: 'write the map as an SVG drawing' },
      { flags: '--overwrite', help: 'write over a drawing that is there already' },
    ],
    examples: [
      'trace-short where board.yaml Q3',
      'trace-short where job.yaml P48',
      'trace-short where job.yaml P48 GND --svg where.svg',
    ],
    load: () => import('./commands/where.ts'),
  },
  {
    name: 'repair',
    args: '<job>',
    summary: 'parts to get, what comes off, what goes on and how',
    options: [BOARD, { flags: '--csv', help: 'parts to get as CSV, for an order' }],
    examples: ['trace-short repair job.yaml', 'trace-short repair job.yaml --csv > order.csv'],
    load: () => import('./commands/repair.ts'),
  },
  {
    name: 'touch-up',
    args: '<job>',
    summary: 'joints that will fail next, most stressed first, and what was found',
    options: [BOARD],
    examples: [
      'trace-short touch-up job.yaml',
      'trace-short log job.yaml "look Q3.D cracked" "reflow Q3.D"',
    ],
    load: () => import('./commands/touch-up.ts'),
  },
  {
    name: 'power',
    args: '<job>',
    summary: 'the staged plan for first power, and how far it has come',
    options: [BOARD],
    examples: [
      'trace-short power job.yaml',
      'trace-short log job.yaml "powered P48 GND 47.9 V" "power 1 passed"',
    ],
    load: () => import('./commands/power.ts'),
  },
  {
    name: 'soak',
    args: '<job> [time...]',
    summary: 'run the board for a set time, with observations when they are due',
    options: [BOARD, NO_SOUND],
    examples: [
      'trace-short soak job.yaml 60 min',
      'trace-short soak job.yaml',
      'trace-short soak job.yaml --json',
    ],
    load: () => import('./commands/soak.ts'),
  },
  {
    name: 'check',
    args: '<board> <readings...>',
    summary: 'for scripts: do saved readings show a short, and in what',
    options: [METER],
    examples: [
      'trace-short check board.yaml saved.readings && echo "nothing shorted"',
      'trace-short check board.yaml - < saved.readings',
    ],
    load: () => import('./commands/check.ts'),
  },
  {
    name: 'diff',
    args: '<before> <after>',
    summary: 'compare two sets of readings, before and after a swap',
    options: [{ flags: '--board <file>', help: 'the board file, to know what beeps when healthy' }],
    examples: ['trace-short diff before.readings after.readings --board board.yaml'],
    load: () => import('./commands/diff.ts'),
  },
  {
    name: 'recheck',
    args: '<job>',
    summary: 'before and after inside a job: newly short, not read again, what to read',
    options: [BOARD],
    examples: ['trace-short recheck job.yaml', 'trace-short recheck job.yaml --json'],
    load: () => import('./commands/recheck.ts'),
  },
  {
    name: 'sheet',
    args: '<job>',
    summary: 'the sheet of a job: what arrived, was found, done, measured and left',
    options: [
      { flags: '-o, --out <file>', help: 'the file to write (default: print it)' },
      {
        flags: '--form <form>',
        help: 'text, markdown or html (default: by the ending of the file)',
      },
      { flags: '--overwrite', help: 'replace the file when it is there already' },
      BOARD,
    ],
    examples: ['trace-short sheet job.yaml', 'trace-short sheet job.yaml -o sheet.html'],
    load: () => import('./commands/sheet.ts'),
  },
  {
    name: 'drill',
    args: '<board>',
    summary: 'practise on a simulated board with hidden faults',
    options: [
      { flags: '--seed <n>', help: 'which faults are hidden (default: 1)', wholeFrom: 0 },
      { flags: '--faults <n>', help: 'how many faults are hidden (default: 1)', wholeFrom: 1 },
      { flags: '--auto', help: 'let it play itself to the end' },
      METER,
      NO_SOUND,
    ],
    examples: [
      'trace-short drill boards/hoist-drive.yaml',
      'trace-short drill boards/bypass-rail.yaml --seed 7 --auto',
    ],
    load: () => import('./commands/drill.ts'),
  },
  {
    name: 'meter',
    args: '[name]',
    summary: 'list the meters, show one, or work out your own',
    options: [
      {
        flags: '--calibrate [touches]',
        help: 'work out a meter from touches of known resistors: a file, or - for standard input',
      },
      {
        flags: '--like <meter>',
        help: 'where its other figures come from (default: common handheld)',
      },
      { flags: '--name <name>', help: 'what to call it' },
      { flags: '-o, --out <file>', help: 'the meter file to make (default: print it)' },
      { flags: '--overwrite', help: 'replace the file when it is there already' },
    ],
    examples: [
      'trace-short meter',
      'trace-short meter "bench meter"',
      'trace-short meter --calibrate touches.txt -o my-meter.yaml',
    ],
    load: () => import('./commands/meter.ts'),
  },
  {
    name: 'jobs',
    args: '[folder]',
    summary: 'the jobs of a folder: stage, what holds each up, time spent, next step',
    options: [
      { flags: '--deep', help: 'the folders below as well' },
      { flags: '--steps', help: 'work out the next step of every job, however many there are' },
    ],
    examples: ['trace-short jobs', 'trace-short jobs shelf --deep', 'trace-short jobs --json'],
    load: () => import('./commands/jobs.ts'),
  },
  {
    name: 'worth',
    args: '<job>',
    summary: 'what a job has cost and will cost, beside what the board is worth',
    options: [BOARD],
    examples: ['trace-short worth job.yaml', 'trace-short worth job.yaml --shop our-shop.yaml'],
    load: () => import('./commands/worth.ts'),
  },
  {
    name: 'shop',
    args: '[place]',
    summary: 'the settings in force and where each comes from, or a file to start from',
    options: [
      { flags: '--write <file>', help: 'write a commented settings file of the defaults' },
      { flags: '--overwrite', help: 'replace the file when it is there already' },
    ],
    examples: [
      'trace-short shop',
      'trace-short shop job.yaml',
      'trace-short shop --write trace-short.yaml',
      'trace-short next job.yaml --shop our-shop.yaml',
    ],
    load: () => import('./commands/shop.ts'),
  },
  {
    name: 'memory',
    args: '[model]',
    summary: 'what past boards taught: what fails, with what, minutes, comebacks',
    options: [
      { flags: '--in <folder>', help: 'jobs of this folder; default: where you stand' },
      { flags: '--html <file>', help: 'write one model as a page with plots' },
      { flags: '--export <file>', help: 'write all that was learnt as JSON' },
      { flags: '--overwrite', help: 'replace the file when it is there already' },
      {
        flags: '--forget <job>',
        help: 'a job teaches nothing from now on: its record or its name here',
      },
      { flags: '--recall <job>', help: 'a forgotten job teaches again' },
      { flags: '--merge <names>', help: 'OLD=NEW: one name of a model counts as another' },
      { flags: '--rebuild', help: 'read every record anew' },
      { flags: '--prepare', help: "make the shop's database ready for it, as its owner" },
    ],
    examples: [
      'trace-short memory',
      'trace-short memory "Chain-hoist motor drive, 48 V rev 3" --html hoist.html',
      'trace-short memory --forget job.yaml',
      'trace-short memory --merge "Hoist drive=Chain-hoist motor drive, 48 V rev 3"',
    ],
    load: () => import('./commands/memory.ts'),
  },
  {
    name: 'serve',
    args: '',
    summary: 'answer another program: JSON-RPC 2.0, one message a line',
    options: [],
    examples: ['trace-short serve < requests.jsonl', 'examples/serve-drill.sh'],
    load: () => import('./commands/serve.ts'),
  },
  {
    name: 'help',
    args: '[topic]',
    summary: 'a page of the manual: the notation, the board file, the settings, and more',
    options: [{ flags: '--man', help: 'the whole manual, as a page for man' }],
    examples: [
      'trace-short help',
      'trace-short help notation',
      'trace-short help --man | man -l -',
    ],
    load: async () => ({ run: (await import('./commands/help.ts')).helpOn(COMMANDS) }),
  },
  {
    name: 'completion',
    args: '<shell>',
    summary: 'let your shell complete commands and the names of the board at hand',
    options: [],
    examples: [
      'eval "$(trace-short completion bash)"',
      'trace-short completion fish > ~/.config/fish/completions/trace-short.fish',
    ],
    load: () => import('./commands/completion.ts'),
  },
  {
    name: 'board',
    args: '<file>',
    summary: 'check a board file and sum it up; draw it; how to inject a current into a rail',
    options: [
      {
        flags: '--inject <rail>',
        help: 'settings, places and cautions for a current into this rail, to find a short along it',
      },
      { flags: '--graph <form>', help: 'draw its power nets, parts and jumpers: svg' },
      { flags: '--near <name>', help: 'draw what lies round this part or net instead' },
      { flags: '-o, --out <file>', help: 'the drawing to write (default: print it)' },
      {
        flags: '--with <job>',
        help: 'what this job saw of the board, as a diff of the board file',
      },
      { flags: '--write', help: 'write it into the board file; the job goes on with that' },
      { flags: '--overwrite', help: 'replace the file when it is there already' },
    ],
    examples: [
      'trace-short board boards/hoist-drive.yaml',
      'trace-short board boards/hoist-drive.yaml --inject "gate drive"',
      'trace-short board boards/hoist-drive.yaml --graph svg --near W2 -o near-W2.svg',
      'trace-short board board.yaml --with job.yaml',
      'trace-short board board.yaml --with job.yaml --write',
    ],
    load: () => import('./commands/board.ts'),
  },
  {
    name: 'new',
    args: '[stage]',
    summary: 'make a board file from the skeleton of a power stage',
    options: [
      { flags: '--set <setting>', help: 'one answer, as name=value; may be repeated', many: true },
      { flags: '--usual', help: 'ask nothing: what is not set is as usual' },
      { flags: '--list', help: 'the stages and what each asks' },
      { flags: '-o, --out <board>', help: 'the board file to make (default: ask, or print it)' },
      { flags: '--overwrite', help: 'replace the file when it is there already' },
    ],
    examples: [
      'trace-short new',
      'trace-short new --list',
      'trace-short new half-bridge --set parallel=3 --set volts=60 -o board.yaml',
      'trace-short new flyback --set outputs="24 5" --set first="Q101 R201"',
    ],
    load: () => import('./commands/new.ts'),
  },
  {
    name: 'import',
    args: '<netlist>',
    summary: 'make a board file from a netlist: IPC-D-356, a SPICE deck, or a list of pins',
    options: [
      { flags: '--bom <csv>', help: 'a bill of materials, for kinds and values' },
      { flags: '-o, --out <board>', help: 'the board file to make (default: print it)' },
      { flags: '--overwrite', help: 'replace the file when it is there already' },
    ],
    examples: [
      'trace-short import board.ipc --bom parts.csv -o board.yaml',
      'trace-short import drawing.cir',
      'trace-short import pins.csv',
    ],
    load: () => import('./commands/import.ts'),
  },
  {
    name: 'map',
    args: '<parts> [say...]',
    summary: 'find the nets of a known-good board with a beeper, in the fewest readings',
    options: [
      { flags: '-o, --out <board>', help: 'the board file to make; the record lies beside it' },
      { flags: '--bom <csv>', help: 'a bill of materials beside a list of pins' },
      ...METER_OR_LINK,
      NO_SOUND,
      { flags: '--overwrite', help: 'replace a board file that this map did not leave so' },
    ],
    examples: [
      'trace-short map parts.csv -o board.yaml',
      'trace-short map parts.csv -o board.yaml "J1.2 C1.2 beep" "J1.2 R1.1 R1.2 quiet"',
      'trace-short map parts.csv -o board.yaml - < readings.txt',
      'trace-short map parts.csv -o board.yaml --meter tcp://192.168.1.20',
    ],
    load: () => import('./commands/map.ts'),
  },
  {
    name: 'reference',
    args: '<board> [say...]',
    summary:
      'record the readings of a good board, net after net, for diff to hold a bad one against',
    options: [
      { flags: '-o, --out <file>', help: 'the file of readings to make or go on with' },
      {
        flags: '--ground <net>',
        help: 'the net to read against (default: the minus of most rails)',
      },
      ...METER_OR_LINK,
      NO_SOUND,
    ],
    examples: [
      'trace-short reference board.yaml -o good.readings',
      'trace-short reference board.yaml -o good.readings "P48 GND 4.7 kohm"',
      'trace-short reference board.yaml -o good.readings --meter lines:/dev/ttyUSB0',
      'trace-short diff good.readings job.yaml --board board.yaml',
    ],
    load: () => import('./commands/reference.ts'),
  },
];
