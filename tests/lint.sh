#!/usr/bin/env bash
# What a look at the text of the sources can hold for ever. Each rule says what to do instead.
#   tests/lint.sh FOLDER      the folder with src/ in it
set -u
cd "$1" || exit 2
bad=0

# a number on its way to people: fmt::format prints "-0.0" and "nan"
if grep -rPzo --include='*.cpp' --include='*.h' --exclude-dir=base '(?s)fmt::format\(\s*(?:"(?:[^"\\]|\\.)*"\s*)*"(?:[^"\\]|\\.)*\{:\.[0-9]f\}[^"]*"' src |
  tr '\0' '\n' | grep -v '^$'; then
  echo 'base::say("... {:.1f} ...", v) instead of fmt::format: never "-0.0" (src/base/say.h)'
  bad=1
fi
# dropped words and misspellings
python3 tests/words.py . || bad=1
exit $bad
