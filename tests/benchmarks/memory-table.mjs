// Means of the memory's benchmark with their errors, over all boards and shops and for each board.

const mean = (list) => list.reduce((a, b) => a + b, 0) / list.length;

/** @param arms in the order they are shown; the first has no memory */
export function report(rows, arms) {
  const boards = [...new Set(rows.map(({ board }) => board))];
  for (const board of [undefined, ...boards]) {
    const chosen = rows.filter((row) => board === undefined || row.board === board);
    if (board !== undefined && boards.length === 1) return;
    table(chosen, arms, board ?? boards.join(', '));
  }
}

function table(rows, [none, ...others], title) {
  const [known, plain] = ['knows', none].map((seen) => rows.filter((row) => row.seen === seen));
  const shops = new Set(rows.map(({ board, shop }) => `${board} ${shop}`)).size;
  console.log(
    `memory: ${title}; ${shops} shops, ${plain.length} jobs for each line, the same for all`,
  );
  console.log(
    '| boards seen | first visit | with comebacks | beside none | ± | beside knowing | ± | left unread |',
  );
  console.log('|---|---|---|---|---|---|---|---|');
  for (const seen of [none, ...others]) {
    const own = rows.filter((row) => row.seen === seen);
    const cells = [
      seen,
      mean(own.map(({ minutes }) => minutes)).toFixed(1),
      mean(own.map(whole)).toFixed(1),
      ...beside(own, plain),
      ...beside(own, known),
      own.reduce((sum, { missed }) => sum + missed, 0),
    ];
    console.log(`| ${cells.join(' | ')} |`);
  }
}

const whole = ({ minutes, back }) => minutes + back;

/** By how much more or less than the others, and the error of that over the same boards. */
function beside(own, other) {
  const keyOf = ({ board, shop, job }) => [board, shop, job].join('\n');
  const of = new Map(other.map((row) => [keyOf(row), row]));
  const pairs = own.flatMap((row) => (of.has(keyOf(row)) ? [[row, of.get(keyOf(row))]] : []));
  if (pairs.length < 2) return ['', ''];
  const off = pairs.map(([one, two]) => whole(one) - whole(two));
  const usual = mean(pairs.map(([, two]) => whole(two)));
  const middle = mean(off);
  const error = Math.sqrt(mean(off.map((each) => (each - middle) ** 2)) / (off.length - 1));
  const percent = (minutes) => `${((minutes / usual) * 100).toFixed(1)} %`;
  return [percent(middle), percent(error)];
}
