#!/usr/bin/env bash
# Was the program built so that a bug in it is hard to use? Read from the binary itself, as the build's flags may
# have been lost on the way.
#   tests/hardened.sh PROGRAM
set -euo pipefail
program="$1"
failed=0
want() { # want WHAT PATTERN TEXT
  if ! grep -Eq "$2" <<<"$3"; then
    echo "FAIL $program: no $1"
    failed=1
  fi
}
dynamic="$(readelf -dW "$program")"
segments="$(readelf -lW "$program")"
symbols="$(readelf --dyn-syms -W "$program")"
want "position-independent executable (-pie)" 'FLAGS_1.*PIE' "$dynamic"
want "read-only relocations (-z relro)" 'GNU_RELRO' "$segments"
want "binding at the start, without which they are only half read-only (-z now)" 'BIND_NOW|FLAGS_1.*NOW' "$dynamic"
want "stack protector (-fstack-protector-strong)" '__stack_chk_fail' "$symbols"
want "checked copies (_FORTIFY_SOURCE)" '__(memcpy|memmove|memset|snprintf|sprintf|vsnprintf|strncpy|strcpy|read|poll|fdelt|fprintf|printf|strcat)_chk' "$symbols"
want "checks of the standard library (_GLIBCXX_ASSERTIONS)" '__glibcxx_assert_fail' "$symbols"
if grep -Eq 'GNU_STACK.* RWE ' <<<"$segments"; then
  echo "FAIL $program: its stack can be executed"
  failed=1
fi
exit "$failed"
