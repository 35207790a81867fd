#!/usr/bin/env bash
# Decides from saved readings whether a repaired board may go on to its next bench.
#
#   examples/compare.sh [BOARD BEFORE AFTER]
#
# `check` and `diff` tell their findings on stdout and their verdict in the exit code:
# 0 nothing shorted / nothing left, 1 a short / something left, 2 bad input, 3 contradictory.
set -u
cd "$(dirname "$0")/.." || exit 2

board=${1:-boards/hoist-drive.yaml}
before=${2:-examples/before-swap.readings}
after=${3:-examples/after-swap.readings}

trace_short() { node bin/trace-short.js "$@"; }

verdict() {
  case $1 in
    0) echo "  -> $2" ;;
    1) echo "  -> $3" ;;
    3) echo "  -> the readings contradict each other: take the named ones again" ;;
    *) echo "  -> could not be judged" >&2; exit "$1" ;;
  esac
}

echo "As it came in:"
trace_short check "$board" "$before"
verdict $? "nothing is shorted" "shorted, as reported"

echo
echo "After the swap:"
trace_short check "$board" "$after"
clear=$?
verdict $clear "nothing is shorted" "still shorted"

echo
echo "Pair by pair:"
trace_short diff "$before" "$after" --board "$board"
same=$?
verdict $same "every pair that was short is clear, and none was left out" "something is left: see above"

[ $clear -eq 0 ] && [ $same -eq 0 ]
