# Sourced by ./run and ./test: installs the packages of the named lists that are missing.
set_up() {
  local missing=()
  local name
  for name in $(sed 's/#.*//' "$@"); do
    dpkg-query -W -f='${db:Status-Status}' "$name" 2>/dev/null | grep -qx installed || missing+=("$name")
  done
  [ ${#missing[@]} -eq 0 ] && return 0
  local sudo=""
  [ "$(id -u)" -eq 0 ] || sudo="sudo"
  echo "Installing: ${missing[*]}" >&2
  $sudo apt-get update -qq >&2
  DEBIAN_FRONTEND=noninteractive $sudo apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
}

# The page is built by npm. Any Node from 18 on will do; Debian's is taken where there is none.
set_up_node() {
  command -v npm >/dev/null && command -v node >/dev/null && return 0
  set_up <(printf 'nodejs\nnpm\n')
}
