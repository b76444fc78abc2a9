#!/bin/sh
# Whether the script of the pages is valid JavaScript, by node's parser. Usage: check_script.sh SCRIPT
set -u
if ! command -v node >/dev/null 2>&1; then
  echo "not run: syntax of the pages' script: node is not installed (nodejs)"
  exit 0
fi
exec node --check "$1"
