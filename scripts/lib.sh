# shellcheck shell=bash
# What demo.sh, test.sh and bench.sh share: the Debian packages each need asks for, and how they are installed.
# Sourced, not run. Nothing here asks a question or reads standard input.

export DEBIAN_FRONTEND=noninteractive
export LC_ALL=C.UTF-8

# need  package             how to see that it is there: a command, a pkg-config module or a file
PACKAGES='
build   g++                 command:g++
build   make                command:make
build   cmake               command:cmake
build   pkgconf             command:pkg-config
build   libsndfile1-dev     module:sndfile
build   libfftw3-dev        module:fftw3f
build   libpugixml-dev      module:pugixml
build   libzip-dev          module:libzip
build   libutf8proc-dev     module:libutf8proc
build   libssl-dev          module:libcrypto
build   libfmt-dev          module:fmt
build   nlohmann-json3-dev  module:nlohmann_json
build   libcli11-dev        file:/usr/include/CLI/CLI.hpp
build   libboost-dev        file:/usr/include/boost/version.hpp
tests   doctest-dev         file:/usr/include/doctest/doctest.h
tests   libaubio-dev        module:aubio
tests   fluidsynth          command:fluidsynth
tests   timgm6mb-soundfont  file:/usr/share/sounds/sf2/TimGM6mb.sf2
tests   rubberband-cli      command:rubberband
tests   python3-jsonschema  file:/usr/lib/python3/dist-packages/jsonschema/__init__.py
bench   doctest-dev         file:/usr/include/doctest/doctest.h
bench   libaubio-dev        module:aubio
bench   sptk                command:sptk
bench   valgrind            command:valgrind
bench   python3-numpy       file:/usr/lib/python3/dist-packages/numpy/__init__.py
bench   python3-mir-eval    file:/usr/lib/python3/dist-packages/mir_eval/__init__.py
fit     libeigen3-dev       file:/usr/include/eigen3/Eigen/Dense
all     clang               command:clang++
all     clang-format        command:clang-format
all     clang-tidy          command:clang-tidy
all     aubio-tools         command:aubiopitch
all     parallel            command:parallel
all     munge               file:/usr/sbin/munged
all     slurm-wlm           file:/usr/sbin/slurmctld
all     chromium            command:chromium
all     nodejs              command:node
'

is_there() {  # PROBE
  case "$1" in
    command:*) command -v "${1#command:}" >/dev/null 2>&1 ;;
    module:*) pkg-config --exists "${1#module:}" >/dev/null 2>&1 ;;
    file:*) [ -e "${1#file:}" ] ;;
  esac
}

missing_packages() {  # NEED... -> the packages that are not there, on one line
  local need package probe wanted=" $* " missing=()
  while read -r need package probe; do
    [ -n "$need" ] || continue
    case "$wanted" in *" $need "*) is_there "$probe" || missing+=("$package") ;; esac
  done <<<"$PACKAGES"
  echo "${missing[*]-}"
}

as_root() {  # prints the words to put before a command to run it as root; fails when there is no way
  if [ "$(id -u)" -eq 0 ]; then
    echo env
  elif command -v sudo >/dev/null 2>&1 && { [ "$TERMINAL" = yes ] || sudo -n true 2>/dev/null; }; then
    echo sudo --preserve-env=DEBIAN_FRONTEND,LC_ALL
  else
    return 1
  fi
}

# Installs what the named needs lack; does nothing when nothing is missing. Stops with 2 when it may not install.
install_missing() {  # NEED...
  local packages root
  packages=$(missing_packages "$@")
  [ -n "$packages" ] || return 0
  if ! command -v apt-get >/dev/null 2>&1 || ! root=$(as_root); then
    echo "These packages are missing, and installing them needs root. Run this, then start again:" >&2
    echo "  apt-get update && apt-get install -y --no-install-recommends $packages" >&2
    exit 2
  fi
  echo "Installing: $packages"
  # shellcheck disable=SC2086  # both are lists of words
  $root apt-get update -qq >/dev/null || echo "apt-get update failed; trying with the package lists as they are" >&2
  # shellcheck disable=SC2086
  if ! $root apt-get install -y -qq --no-install-recommends $packages >"$INSTALL_LOG" 2>&1; then
    tail -n 20 "$INSTALL_LOG" >&2
    echo "apt-get could not install: $packages" >&2
    exit 1
  fi
}

# A script may be started with no terminal and standard input closed; nothing below may block or fail on that.
TERMINAL=no
if [ -t 0 ]; then TERMINAL=yes; fi
exec </dev/null
mkdir -p build
INSTALL_LOG=build/install.log
