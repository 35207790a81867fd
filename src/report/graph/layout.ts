import { Graph, layout } from '@dagrejs/dagre';
import type { GraphBox, GraphNet, GraphView } from './model.ts';
import { type Box, type Spot, straighten } from './route.ts';
import { boxTexts, netTexts, sizeOf, type TextLine } from './texts.ts';

/** Where everything of a drawing stands, in units of its page; x and y are middles. */
export interface GraphLayout {
  readonly width: number;
  readonly height: number;
  readonly nets: readonly (Box & { readonly net: GraphNet; readonly texts: readonly TextLine[] })[];
  readonly boxes: readonly (Box & {
    readonly box: GraphBox;
    readonly texts: readonly TextLine[];
  })[];
  readonly lines: readonly {
    readonly points: readonly Spot[];
    readonly label?: Box & { readonly text: string };
  }[];
}

/** What is wide lies better from left to right, what is deep from top to bottom. */
type Direction = 'TB' | 'LR';

/** Width over height that a page or a screen has. */
const PAGE_RATIO = 1.5;
const GAP = 22;

/** Lays a view out, nets as bars and boxes between them, in the direction that makes it smaller. */
export function layGraph(view: GraphView): GraphLayout {
  const both = (['TB', 'LR'] as const).map((direction) => layOut(view, direction));
  const size = ({ width, height }: GraphLayout): number => Math.max(width, height * PAGE_RATIO);
  const [down, across] = both;
  if (down === undefined || across === undefined) throw new Error('no layout');
  return size(across) < size(down) ? across : down;
}

interface Pieces {
  readonly nets: readonly { readonly net: GraphNet; readonly texts: readonly TextLine[] }[];
  readonly boxes: readonly { readonly box: GraphBox; readonly texts: readonly TextLine[] }[];
}

function layOut(view: GraphView, direction: Direction): GraphLayout {
  const nets = view.nets.map((net) => ({ net, texts: netTexts(net) }));
  const boxes = view.boxes.map((box) => ({ box, texts: boxTexts(box) }));
  const joinedNets = new Set(view.lines.map(({ net }) => net));
  const joinedBoxes = new Set(view.lines.map(({ box }) => box));
  const joined = {
    nets: nets.filter(({ net }) => joinedNets.has(net.id)),
    boxes: boxes.filter(({ box }) => joinedBoxes.has(box.id)),
  };
  const apart = {
    nets: nets.filter(({ net }) => !joinedNets.has(net.id)),
    boxes: boxes.filter(({ box }) => !joinedBoxes.has(box.id)),
  };
  return withApart(layJoined(view, joined, direction), apart);
}

function layJoined(view: GraphView, { nets, boxes }: Pieces, direction: Direction): GraphLayout {
  const graph = new Graph({ directed: true, multigraph: true });
  graph.setGraph({ rankdir: direction, nodesep: GAP, edgesep: 14, ranksep: 34 });
  for (const { net, texts } of nets) graph.setNode(`n${net.id}`, sizeOf(texts));
  for (const { box, texts } of boxes) graph.setNode(`b${box.id}`, sizeOf(texts));
  const ends = ({ box, net, down }: GraphView['lines'][number]): [string, string] =>
    down ? [`n${net}`, `b${box}`] : [`b${box}`, `n${net}`];
  view.lines.forEach((line, i) => {
    const { pins } = line;
    const size = pins === undefined ? {} : sizeOf([{ text: pins, strong: false }], 2);
    graph.setEdge(...ends(line), { ...size, labelpos: 'c' }, `l${i}`);
  });
  layout(graph);
  const placed = (name: string): Box => {
    const { x, y, width, height } = graph.node(name) as unknown as Box;
    return { x, y, width, height };
  };
  const edges = view.lines.map((line, i) => {
    const [v, w] = ends(line);
    const { points, x, y, width, height } = graph.edge({ v, w, name: `l${i}` }) as Box & {
      points: Spot[];
    };
    const label = line.pins === undefined ? undefined : { x, y, width, height, text: line.pins };
    return { from: placed(v), to: placed(w), middle: points.slice(1, -1), label };
  });
  const placedNets = nets.map((each) => ({ ...each, ...placed(`n${each.net.id}`) }));
  const placedBoxes = boxes.map((each) => ({ ...each, ...placed(`b${each.box.id}`) }));
  const labels = edges.flatMap(({ label }) => label ?? []);
  const ways = straighten([...placedNets, ...placedBoxes, ...labels], edges, direction === 'LR');
  const { width = 0, height = 0 } = graph.graph() as Partial<Box>;
  return {
    width: Math.max(0, width),
    height: Math.max(0, height),
    nets: placedNets,
    boxes: placedBoxes,
    lines: edges.map(({ label }, i) => {
      const points = ways[i] ?? [];
      return label === undefined ? { points } : { points, label };
    }),
  };
}

/** Most that stand in a row apart take before the next begins. */
const LEAST_ROW = 900;

/** What no line joins stands in rows below. */
function withApart(laid: GraphLayout, apart: Pieces): GraphLayout {
  const row = Math.max(LEAST_ROW, laid.width);
  const isEmpty = laid.height === 0;
  let [x, y, high, wide] = [0, isEmpty ? 0 : laid.height + 2 * GAP, 0, laid.width];
  const place = (texts: readonly TextLine[]): Box => {
    const size = sizeOf(texts);
    if (x > 0 && x + size.width > row) [x, y, high] = [0, y + high + GAP, 0];
    const spot = { x: x + size.width / 2, y: y + size.height / 2, ...size };
    wide = Math.max(wide, x + size.width);
    [x, high] = [x + size.width + GAP, Math.max(high, size.height)];
    return spot;
  };
  const nets = apart.nets.map((each) => ({ ...each, ...place(each.texts) }));
  const boxes = apart.boxes.map((each) => ({ ...each, ...place(each.texts) }));
  return {
    width: wide,
    height: nets.length + boxes.length === 0 ? laid.height : y + high,
    nets: [...laid.nets, ...nets],
    boxes: [...laid.boxes, ...boxes],
    lines: laid.lines,
  };
}
