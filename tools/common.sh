# Shared by tools/start and tools/check; source it from the top of the source tree.

say() { printf '%s\n' "== $*"; }
fail() { printf 'sixtyfold: %s\n' "$*" >&2; exit 1; }

# ccache may reuse files across folders, and with the tests' precompiled header.
export CCACHE_BASEDIR=$PWD CCACHE_SLOPPINESS=pch_defines,time_macros

as_root() {
  if [ "$(id -u)" -eq 0 ]; then "$@"; else sudo "$@"; fi
}

# install_missing GROUP...: installs the packages of these groups that are not there yet.
install_missing() {
  local group package purpose wanted missing=()
  command -v apt-get >/dev/null && command -v dpkg-query >/dev/null ||
    fail "these scripts install what they need with apt and are made for Debian 12; elsewhere install what tools/packages lists and run cmake as DEVELOPERS.md shows"
  while read -r group package purpose; do
    case " $* " in *" $group "*) ;; *) continue ;; esac
    [ "$(dpkg-query -W -f='${db:Status-Status}' "$package" 2>/dev/null)" = installed ] && continue
    [ ${#missing[@]} -gt 0 ] || say "These packages are missing and will be installed with apt:"
    printf '   %-22s %s\n' "$package" "$purpose"
    missing+=("$package")
  done < <(grep -v '^#' tools/packages)
  [ ${#missing[@]} -gt 0 ] || return 0
  [ "$(id -u)" -eq 0 ] || command -v sudo >/dev/null ||
    fail "installing packages needs root: run this as root, or install sudo"
  local log
  log=$(mktemp)
  as_root apt-get update >"$log" 2>&1 ||
    { tail -n 20 "$log" >&2; fail "apt-get update failed (is there a network?)"; }
  as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends \
    "${missing[@]}" >"$log" 2>&1 </dev/null ||
    { tail -n 20 "$log" >&2; fail "apt-get install failed"; }
  rm -f "$log"
}

# show_build: on a terminal ninja shows one line that moves by itself; in a log every quarter of the
# way has a line, and whatever is not a step (warnings, errors) is kept.
show_build() {
  awk 'match($0, /^\[[0-9]+\/[0-9]+\] /) {
         split(substr($0, 2, RLENGTH - 3), step, "/")
         quarter = int(4 * step[1] / step[2])
         if (quarter > shown) { shown = quarter; print "   " step[1] " of " step[2] " steps"; fflush() }
         next }
       $0 != "ninja: no work to do." { print; fflush() }'
}

# build_in FOLDER TARGET CMAKE-OPTION...: configures where needed and builds.
build_in() {
  local folder=$1 target=$2
  shift 2
  cmake -S . -B "$folder" -G Ninja "$@" >/dev/null || fail "cmake could not configure $folder"
  if [ -t 1 ]; then
    cmake --build "$folder" --target "$target"
  else
    cmake --build "$folder" --target "$target" | show_build
  fi || fail "the build in $folder failed"
}
