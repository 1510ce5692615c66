#!/bin/sh
# Three automations in plain shell, for any broker: what a hub's own rules would do.
#   automations.sh notify          prints each notification as it comes (peaks, last days, cautions)
#   automations.sh remind          prints what is in the fridge and must be used soon, and ends
#   automations.sh press JAR STEP  a button: start, strain, store, take, pour, finish, discard or undo
# Needs mosquitto_sub, mosquitto_pub and jq. Where the broker is, and as whom, is told by MQTT, in
# the words of mosquitto_sub: MQTT="-h hub.local -p 8883 --cafile ca.pem -u hub -P secret"
set -eu
mqtt=${MQTT:--h 127.0.0.1}
prefix=${PREFIX:-wheymark}
homie=${HOMIE:-homie}

# To whom a notification goes is this one line: put a mail, a light or a loudspeaker in its place.
notify() { printf '%s\n' "$1"; }

case "${1:-}" in
  notify)
    # Events are not retained: only what happens from now on comes. Each is announced once; a broker
    # may deliver it twice, and then with the same id.
    seen=
    # shellcheck disable=SC2086
    mosquitto_sub $mqtt -q 1 -t "$prefix/events/+/+" | while IFS= read -r event; do
      id=$(printf '%s' "$event" | jq -r .id)
      [ "$id" = "$seen" ] && continue
      seen=$id
      case $(printf '%s' "$event" | jq -r .type) in
        wheymark.peak-* | wheymark.over-fermented | wheymark.last-day-* | wheymark.vent-lid | \
          wheymark.second-* | wheymark.not-souring | wheymark.left-out | wheymark.discard-*)
          notify "$(printf '%s' "$event" | jq -r '.data | [.text, .caution] | map(values) | join(" ")')" ;;
      esac
    done ;;
  remind)
    # States are retained: they come at once, and -W ends the wait for more.
    # shellcheck disable=SC2086
    mosquitto_sub $mqtt -q 1 -W 2 -F '%t %p' -t "$homie/5/+/batch/stage" \
      -t "$homie/5/+/fridge/last-day" 2>/dev/null | sort | while read -r topic value; do
      jar=${topic#"$homie/5/"}
      jar=${jar%%/*}
      case $topic:$value in
        */batch/stage:use-soon | */batch/stage:past-best) soon=$jar ;;
        */fridge/last-day:*) [ "${soon:-}" = "$jar" ] && notify "$jar: use it by $value." ;;
      esac
    done ;;
  press)
    jar=${2:?which jar?}
    step=${3:?which step: start, strain, store, take, pour, finish, discard or undo?}
    # Commands are never retained: a retained one would be pressed again at every connection.
    # shellcheck disable=SC2086
    mosquitto_pub $mqtt -q 1 -t "$homie/5/jar-$jar/care/step/set" -m "$step" ;;
  *)
    sed -n '2,7s/^# \{0,1\}//p' "$0" >&2
    exit 2 ;;
esac
