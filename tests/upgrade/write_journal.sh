#!/bin/sh
# Writes version_N.sqlite, the store of a released schema version, with the program of that release:
#   sh tests/upgrade/write_journal.sh WHEYMARKD tests/upgrade/version_1.sqlite
# Two days: readings every half hour, a batch that is reported, strained and stored, and another one
# in the same jar. Once released, a file is never written again: only files of new versions are added.
set -eu
wheymarkd=$1
store=$2
here=$(cd "$(dirname "$0")" && pwd)
[ ! -e "$store" ] || { echo "$store is there already" >&2; exit 1; }

begin=$(date -u -d 2027-03-01T08:00:00Z +%s)
at() { date -u -d "@$((begin + $1 * 60))" +%Y-%m-%dT%H:%M:%SZ; }
reads() { # from, to: minutes
  minute=$1
  while [ "$minute" -lt "$2" ]; do
    printf '{"at":"%s","topic":"house/kitchen","payload":"21.5"}\n' "$(at "$minute")"
    minute=$((minute + 30))
  done
}
says() { # minute, fact
  printf '{"at":"%s","topic":"wheymark/say","payload":"%s"}\n' "$(at "$1")" \
    "$(printf '%s' "$2" | sed 's/"/\\"/g')"
}
{
  reads 0 60
  says 61 '{"fact":"start","jar":"blue","milk_c":5,"ref":"start-1"}'
  reads 90 900
  says 901 '{"fact":"ph","jar":"blue","ph":4.7,"ref":"ph-1"}'
  says 902 '{"fact":"sign","jar":"blue","sign":"whey-layer","ref":"mistaken"}'
  says 903 '{"fact":"retract","ref":"mistaken"}'
  reads 930 1260
  says 1261 '{"fact":"strain","jar":"blue","into":"bottle","verdict":"right","grain_g":22,"ref":"strain-1"}'
  says 1265 '{"fact":"store","jar":"bottle","place":"fridge","ref":"store-1"}'
  says 1270 '{"fact":"start","jar":"blue","ref":"start-2"}'
  reads 1290 1500
} | "$wheymarkd" replay --config "$here/household.json" --store "$store" >/dev/null
