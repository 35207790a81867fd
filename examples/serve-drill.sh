#!/bin/sh
# Plays a whole drill through `trace-short serve` from plain shell: two pipes and printf. Where the
# simulated board is asked to `measure`, a bench would read its meter.
#
#   examples/serve-drill.sh [BOARD [SEED]]
set -eu
cd "$(dirname "$0")/.."
board=${1:-boards/hoist-drive.yaml}
seed=${2:-3}

pipes=$(mktemp -d)
trap 'rm -rf "$pipes"' EXIT
mkfifo "$pipes/calls" "$pipes/replies"
node bin/trace-short.js serve <"$pipes/calls" >"$pipes/replies" &
exec 3>"$pipes/calls" 4<"$pipes/replies"

id=0
# ask METHOD PARAMS: one message out, one message in; the reply is in $reply.
ask() {
  id=$((id + 1))
  printf '{"jsonrpc":"2.0","id":%d,"method":"%s","params":%s}\n' "$id" "$1" "$2" >&3
  IFS= read -r reply <&4
  case $reply in
    *'"error":'*) printf '%s\n' "$reply" >&2; exit 1 ;;
  esac
}

# first KEY: the first text under that key in the reply. A program reads JSON with a parser; for this
# much the shell will do.
first() { rest=${reply#*\"$1\":\"}; printf '%s\n' "${rest%%\"*}"; }
# list KEY: a list of texts, as it stands.
list() { rest=${reply#*\"$1\":}; printf '%s]\n' "${rest%%]*}"; }

ask open "{\"board\":\"$board\",\"drill\":{\"seed\":$seed}}"
while ask next '{"job":1}'; [ "$(first kind)" != done ]; do
  kind=$(first kind)
  ask measure '{"job":1}'
  said=$(list lines)
  ask record "{\"job\":1,\"events\":$said}"
  printf '%-9s %s\n' "$kind" "$said"
done
ask close '{"job":1}'
echo "hidden: $(list hidden); missed: $(list missed)"
exec 3>&-
wait
