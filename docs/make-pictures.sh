#!/usr/bin/env bash
# Makes the pictures of the README and of the pages of the examples: the tool's own sheets, made smaller.
# Fails on a picture without a drawing.
#   docs/make-pictures.sh [path of the command]      needs poppler-utils, librsvg2-bin, nodejs
set -euo pipefail
here="$(cd "$(dirname "$0")/.." && pwd)"
command="${1:-$here/build/bin/halfround}"
pictures="$here/docs/pictures"
most=300000  # bytes of one picture
work="$(mktemp -d)"
trap 'rm -rf "$work"' EXIT

"$command" make "$here/examples/island-mail/fork.toml" --shop "$here/examples/island-mail/shop.toml" -o "$work/sheets" >/dev/null 2>&1

# first_of SHEET: its first paper's file, without the ending
first_of() {
  local name
  name="$(cd "$work/sheets" && ls | grep -m 1 -E "^$1-.*\.pdf$")" || { echo "no sheet $1 was made" >&2; return 1; }
  echo "${name%.pdf}"
}

# picture SHEET PAGE WIDTH NAME: one page, WIDTH pixels across
picture() {
  pdftoppm -singlefile -f "$2" -l "$2" -scale-to-x "$3" -scale-to-y -1 -png "$work/sheets/$1.pdf" "$work/$4"
  local size
  size="$(stat -c %s "$work/$4.png")"
  if [ "$size" -gt "$most" ]; then
    echo "$4.png has $size bytes, more than $most: make it narrower" >&2
    return 1
  fi
  node "$here/docs/has-drawing.mjs" "$work/$4.png"
  mv "$work/$4.png" "$pictures/$4.png"
  echo "${pictures#"$here/"}/$4.png  $size bytes"
}

picture fork-drawing 1 1100 fork-drawing
# the first of each sheet, by whatever paper the job asked for
picture "$(first_of check)" 1 900 check-sheet
picture "$(first_of mitre-templates)" 1 800 template
# what the shop gets
for sheet in cards adapter measuring-plan; do
  picture "$(first_of "$sheet")" 1 800 "$sheet"
done

# the page, once round (needs chromium and web/node_modules)
if [ -d "$here/web/node_modules" ] && command -v chromium >/dev/null; then
  mkdir -p "$work/page"
  node "$here/web/e2e/round.mjs" "$command" "$work/page" >/dev/null
  for scene in first:table refused:refused over:over mending:mending tracing:tracing solid:solid sheets:sheets phone:phone dark-1440:dark; do
    node "$here/docs/has-drawing.mjs" "$work/page/${scene%%:*}.png"
    cp "$work/page/${scene%%:*}.png" "$pictures/page-${scene##*:}.png"
  done
else
  echo "no chromium or no web/node_modules: the page's pictures left as they are" >&2
fi

# the pages of the examples: the drawing, and what is particular to each
for example in island-mail harbour-mail ferry-mail quarry-mail pier-mail slip-mail; do
  pictures="$here/examples/$example/pictures"
  mkdir -p "$pictures"
  rm -rf "$work/sheets"
  "$command" make "$here/examples/$example/fork.toml" --shop "$here/examples/island-mail/shop.toml" -o "$work/sheets" >/dev/null 2>&1
  picture fork-drawing 1 760 fork-drawing
  case "$example" in
    island-mail | ferry-mail) picture "$(first_of mitre-templates)" 1 700 template ;;
    harbour-mail) picture "$(first_of check)" 1 700 check-sheet ;;
    quarry-mail)
      # hairlines for a laser: drawn thicker to be seen
      echo 'path { stroke-width: 0.5 }' >"$work/thick.css"
      rsvg-convert -w 260 -b white -s "$work/thick.css" "$work/sheets/cut/plate-upper-crown-plate.svg" -o "$pictures/plate.png"
      node "$here/docs/has-drawing.mjs" "$pictures/plate.png" ;;
    pier-mail) picture "$(first_of cards)" 2 700 cards ;;
    slip-mail) picture "$(first_of axle-block)" 1 700 axle-block ;;
  esac
done
