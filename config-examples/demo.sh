#!/bin/sh
# Two days of an invented household, played through a real broker in about half a minute.
#
# Installs what is missing, builds, starts a private broker on a free loopback port and the daemon,
# plays thermometers and people by MQTT messages with a hand-moved clock, and prints what everybody
# says. Ends by itself and leaves no process behind. The household is invented (household.json).
#
#   demo.sh --traffic   prints the same messages as lines for `wheymarkd replay`, and ends
set -eu
here=$(cd "$(dirname "$0")" && pwd)
cd "$here/.."

# --- the invented household ---------------------------------------------------------------------

begin=$(date -u -d 2027-03-01T07:00:00Z +%s)
steps=96 # half hours

# Hours since the beginning, what the person does in words, and the message of their button.
script="
0.5|I put Tilly into a litre of milk, tall jar, on the dresser.|{\"fact\":\"start\",\"jar\":\"tall\"}
0.7|The crock too: less milk, from the counter, not the fridge.|{\"fact\":\"start\",\"jar\":\"crock\",\"milk_c\":19}
1.0|And the goat jar in the larder.|{\"fact\":\"start\",\"jar\":\"goat\",\"ref\":\"goat-1\"}
5.0|Did I start the goat jar? Once more, to be sure.|{\"fact\":\"start\",\"jar\":\"goat\",\"ref\":\"goat-1\"}
13.0|The crock has set already.|{\"fact\":\"sign\",\"jar\":\"crock\",\"sign\":\"set\"}
16.0|Whey pockets in the crock! Straining it into the clear bottle.|{\"fact\":\"strain\",\"jar\":\"crock\",\"into\":\"bottle-2\",\"verdict\":\"right\"}
16.2|The clear bottle goes to the fridge.|{\"fact\":\"store\",\"jar\":\"bottle-2\"}
24.0|Good morning. Straining the tall jar into the green bottle; 32 g of grains.|{\"fact\":\"strain\",\"jar\":\"tall\",\"into\":\"bottle-1\",\"verdict\":\"right\",\"grain_g\":32}
24.1|And into the fridge.|{\"fact\":\"store\",\"jar\":\"bottle-1\"}
24.2|When had I best feed Tilly again?|{\"fact\":\"plan\",\"jar\":\"tall\"}
26.0|Strain the crock!|{\"fact\":\"strain\",\"jar\":\"crock\"}
33.5|Fresh milk for Tilly in the tall jar, as planned.|{\"fact\":\"start\",\"jar\":\"tall\"}
"

# One JSON object a line, in the order of time; what the person says aloud is on demo/aloud.
traffic() {
  printf '%s' "$script" | TZ=UTC awk -F'|' -v begin="$begin" -v steps="$steps" '
    function instant(moment) { return strftime("%Y-%m-%dT%H:%M:%SZ", moment) }
    function text(raw) { gsub(/"/, "\\\"", raw); return "\"" raw "\"" }
    function send(moment, topic, payload) {
      printf "{\"at\":\"%s\",\"topic\":\"%s\",\"payload\":%s}\n", instant(moment), topic, text(payload)
    }
    # Warmest at about 16 h local time.
    function air(hours, mean, swing) { return sprintf("%.1f", mean + swing * sin((hours - 3) / 24 * 6.2832)) }
    NF == 3 { told++; moment[told] = begin + int($1 * 3600 + 0.5); aloud[told] = $2; button[told] = $3 }
    END {
      next_one = 1
      for (step = 0; step <= steps; step++) {
        at = begin + step * 1800
        send(at, "house/kitchen/temperature", air(step / 2, 21.5, 1.5))
        send(at, "house/larder/climate", "{\"air\":{\"temperature\":" air(step / 2, 64.5, 1.2) "},\"measured\":\"" instant(at) "\"}")
        send(at, "house/fridge/state", "{\"temperature\":4.9}")
        for (; next_one <= told && moment[next_one] < at + 1800; next_one++) {
          send(moment[next_one], "demo/aloud", aloud[next_one])
          send(moment[next_one], "wheymark/say", button[next_one])
          printf "{\"at\":\"%s\"}\n", instant(moment[next_one] + 1)
        }
      }
    }'
}
if [ "${1:-}" = --traffic ]; then
  traffic
  exit
fi

sh .ci/install
[ -f build/release/build.ninja ] || cmake --preset release >/dev/null
cmake --build --preset release --parallel "$(nproc)" --target wheymarkd

folder=$(mktemp -d)
children=
end() {
  trap - EXIT INT TERM
  # shellcheck disable=SC2086
  [ -z "$children" ] || kill $children 2>/dev/null || true
  wait 2>/dev/null || true
  rm -rf "$folder"
}
trap end EXIT
trap 'exit 130' INT TERM

# --- a private broker on a free port ---------------------------------------------------------------

port=$((20000 + $$ % 20000))
while :; do
  printf 'user %s\nlistener %s 127.0.0.1\nallow_anonymous true\npersistence false\n' \
    "$(id -un)" "$port" >"$folder/broker.conf"
  PATH="$PATH:/usr/sbin" mosquitto -c "$folder/broker.conf" >"$folder/broker.log" 2>&1 &
  broker=$!
  sleep 0.5
  if kill -0 "$broker" 2>/dev/null; then break; fi
  port=$((port + 1))
done
children=$broker

# --- the daemon ---------------------------------------------------------------------------------

sed "s,mqtt://127.0.0.1:1883,mqtt://127.0.0.1:$port," config-examples/household.json \
  >"$folder/household.json"
build/release/plugin/wheymarkd run --config "$folder/household.json" --clock demo/clock \
  --log-level warning 2>"$folder/daemon.log" &
children="$children $!"

# One listener for everything, so that all messages come before the clock's "done".
mkfifo "$folder/heard"
mosquitto_sub -h 127.0.0.1 -p "$port" -q 1 -F '%t %p' \
  -t 'wheymark/events/#' -t wheymark/answer -t demo/clock/done >"$folder/heard" &
children="$children $!"
exec 3<"$folder/heard"

publish() { mosquitto_pub -h 127.0.0.1 -p "$port" -q 1 -t "$1" -m "$2"; }

zone=Europe/Dublin
instant() { date -u -d "@$1" +%Y-%m-%dT%H:%M:%SZ; }
local_clock() { TZ=$zone date -d "@$1" '+%a %H:%M'; }

say_aloud() { # who, text; continued lines under the first
  printf '%s\n' "$2" | fold -s -w 84 | awk -v who="$1" 'NR == 1 { print who $0 } NR > 1 { print "                      " $0 }'
}

# Moves the clock and prints what is published until the daemon is done with it.
now_is() {
  publish demo/clock "$(instant "$1")"
  while read -r heard_on message <&3; do
    case $heard_on in
      demo/clock/done) [ "$message" != "$(instant "$1")" ] || break ;;
      wheymark/answer)
        why=$(printf '%s' "$message" |
          jq -r 'if .accepted | not then "No: " + .why elif .fact == "plan" then .why else "" end')
        [ -z "$why" ] || say_aloud "$(local_clock "$1")  Wheymark:  " "$why" ;;
      wheymark/events/*)
        when=$(date -u -d "$(printf '%s' "$message" | jq -r .time)" +%s)
        say_aloud "$(local_clock "$when")  Wheymark:  " "$(printf '%s' "$message" | jq -r .data.text)"
        caution=$(printf '%s' "$message" | jq -r '.data.caution // empty')
        [ -z "$caution" ] || say_aloud "           (caution)  " "$caution" ;;
    esac
  done
}

# --- the play -------------------------------------------------------------------------------------

# Nobody keeps a clock message for a daemon that has not subscribed yet: knock until it answers.
(while [ ! -e "$folder/answered" ]; do publish demo/clock "$(instant "$begin")"; sleep 0.3; done) &
read -r answered <&3
touch "$folder/answered"

echo
echo "Two days on Mill Lane (times are the household's; everything is invented)"
echo
traffic | jq -r '[(.at | fromdate), .topic // "-", .payload // "-"] | map(tostring) | join("\t")' >"$folder/traffic"
tab=$(printf '\t')
last=
while IFS=$tab read -r moment topic payload <&4; do
  [ "$moment" = "$last" ] || now_is "$moment"
  last=$moment
  case $topic in
    -) ;;
    demo/aloud) say_aloud "$(local_clock "$moment")  You:       " "$payload" ;;
    *) publish "$topic" "$payload" ;;
  esac
done 4<"$folder/traffic"

echo
echo "That was two days in $(grep -c 'wheymark/say' "$folder/traffic") messages of a person and" \
  "$(grep -c 'house/' "$folder/traffic") of thermometers."
if [ -s "$folder/daemon.log" ]; then
  echo "The daemon's log:"
  cat "$folder/daemon.log"
fi
