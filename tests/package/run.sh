#!/bin/sh
# Installs what is built and uses it as others do: a project that builds against it, a .deb in a root
# of its own, and the daemon that comes out of that on a private broker.
#   sh tests/package/run.sh [BUILD_FOLDER]     default: build/release
# Needs no privileges and changes nothing on the machine. tests/package/fresh_debian.sh does the
# same on a Debian that has nothing yet, as root.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
top=$(cd "$here/../.." && pwd)
build=$(cd "${1:-$top/build/release}" && pwd)
PATH=$PATH:/usr/sbin:/sbin

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
fail() {
  echo "package: $1" >&2
  exit 1
}
claim() { echo "package: $1"; }
# Each has one home; tests/package/versions.py compares the rest with them.
program=$(sed -n 's/^project(wheymark VERSION \([0-9.]*\).*/\1/p' "$top/CMakeLists.txt")
interface=$(sed -n 's/.*end of version \([0-9.]*\).*/\1/p' "$top/plugin/wheymark.h" | sort -V | tail -1).0

# --- below any prefix ----------------------------------------------------------------------------

claim 'cmake --install puts everything below a prefix, and others build against it'
cmake --install "$build" --prefix "$folder/prefix" >"$folder/log" 2>&1 || fail "$(cat "$folder/log")"
cmake -S "$here/consumer" -B "$folder/by-cmake" "-DCMAKE_PREFIX_PATH=$folder/prefix" >"$folder/log" 2>&1 &&
  cmake --build "$folder/by-cmake" >>"$folder/log" 2>&1 || fail "$(cat "$folder/log")"
said=$("$folder/by-cmake/consumer")
[ "$said" = "$program 1" ] || fail "by CMake: $said"

pc=$(find "$folder/prefix" -name wheymark.pc)
export PKG_CONFIG_PATH="${pc%/*}"
# shellcheck disable=SC2046
cc -std=c11 -Wall -Wextra -Wpedantic -Werror "$here/consumer/main.c" -o "$folder/by-pkg-config" \
  $(pkg-config --cflags --libs wheymark)
said=$(LD_LIBRARY_PATH=$(pkg-config --variable=libdir wheymark) "$folder/by-pkg-config")
[ "$said" = "$program 1" ] || fail "by pkg-config: $said"
[ "$(pkg-config --modversion wheymark)" = "$interface" ] || fail 'the version of the interface'

claim 'the installed daemon finds the installed library wherever the prefix is'
mv "$folder/prefix" "$folder/moved"
[ "$("$folder/moved/bin/wheymarkd" --version)" = "wheymarkd $program" ] || fail 'it does not start'
"$folder/moved/bin/wheymarkd" check --config "$folder/moved/etc/wheymark/household.json" \
  >"$folder/log" 2>&1 || fail "$(cat "$folder/log")"

# --- the .deb --------------------------------------------------------------------------------------

claim 'the packages are built'
rm -f "$top"/build/package/*.deb  # of another version
(cd "$top" && cmake --preset package && cmake --build --preset package --parallel 2 --target package) \
  >"$folder/log" 2>&1 || fail "$(tail -30 "$folder/log")"
runtime=$(echo "$top"/build/package/wheymark_*.deb)
development=$(echo "$top"/build/package/libwheymark-dev_*.deb)
[ -f "$runtime" ] && [ -f "$development" ] || fail "no packages: $runtime $development"

claim 'their version is that of the program'
for package in "$runtime" "$development"; do
  said=$(dpkg-deb -f "$package" Version)
  [ "$said" = "$program" ] || fail "$package has version $said"
done

claim 'lintian finds no error'
lintian --fail-on error "$runtime" "$development" >"$folder/log" 2>&1 || fail "$(cat "$folder/log")"

claim 'what the programs are linked with is what the package depends on'
depends=$(dpkg-deb -f "$runtime" Depends)
for package in adduser tzdata libc6 libsqlite3-0 libdate-tz3 libfmt9 libpaho-mqttpp3-1 libcpp-httplib0.11 libstdc++6; do
  case ", $depends" in
    *", $package,"* | *", $package ("*) ;;
    *) fail "$package is missing in: $depends" ;;
  esac
done

# A root in which dpkg believes that everything of this machine is installed; scripts run outside of
# it with DPKG_ROOT set.
root=$folder/root
mkdir -p "$root/var/lib/dpkg/info" "$root/var/lib/dpkg/updates" "$root/var/lib/dpkg/triggers"
cp /var/lib/dpkg/status "$root/var/lib/dpkg/status"
in_root() {
  fakeroot dpkg --root="$root" --log=/dev/null --force-not-root --force-script-chrootless \
    --force-confold "$@" >"$folder/log" 2>&1 || fail "dpkg $*: $(cat "$folder/log")"
}

claim 'dpkg installs them'
in_root --install "$runtime" "$development"
for file in usr/bin/wheymarkd usr/include/wheymark.h etc/wheymark/household.json \
  usr/lib/systemd/system/wheymarkd.service usr/share/man/man1/wheymarkd.1.gz \
  usr/share/man/man5/wheymark.json.5.gz usr/share/bash-completion/completions/wheymarkd; do
  [ -f "$root/$file" ] || fail "$file is missing"
done

claim 'a configuration that a person has edited outlives the next version'
port=$((20000 + $$ % 20000))
broker=
while [ -z "$broker" ]; do
  printf 'user %s\nlistener %s 127.0.0.1\nallow_anonymous true\npersistence false\n' \
    "$(id -un)" "$port" >"$folder/broker.conf"
  mosquitto -c "$folder/broker.conf" >"$folder/broker.log" 2>&1 &
  broker=$!
  sleep 0.5
  kill -0 "$broker" 2>/dev/null || { broker= && port=$((port + 1)); }
done
children=$broker
sed -i "1s,{,{\"tile\": {\"listen\": \"127.0.0.1:$((port - 10000))\"}\,,
  s,127.0.0.1:1883,127.0.0.1:$port,; s,/var/lib/wheymark/wheymark.db,$folder/kept.db," \
  "$root/etc/wheymark/household.json"
in_root --install "$runtime"
grep -q "127.0.0.1:$port" "$root/etc/wheymark/household.json" || fail 'it was overwritten'

claim 'the daemon out of the package lives on a broker, and shows its page'
libraries=$(dirname "$(find "$root/usr/lib" -name libwheymark.so.1)")
export LD_LIBRARY_PATH="$libraries"
ldd "$root/usr/bin/wheymarkd" | grep -q "libwheymark.so.1 => $libraries/" || fail 'another library'
"$root/usr/bin/wheymarkd" run --config "$root/etc/wheymark/household.json" 2>"$folder/daemon.log" &
daemon=$!
children="$children $daemon"
said= tries=0
while [ "$said" != ready ]; do
  tries=$((tries + 1))
  [ "$tries" -le 15 ] || fail "not ready: $(cat "$folder/daemon.log")"
  # shellcheck disable=SC2016
  said=$(mosquitto_sub -h 127.0.0.1 -p "$port" -t 'homie/5/wheymark/$state' -C 1 -W 1 -F %p \
    2>/dev/null) || true
done
grep -q "$libraries/wheymark/wheymarkd-web.so" "/proc/$daemon/maps" || fail 'its page comes from elsewhere'
kill -TERM "$daemon"
wait "$daemon" || fail "it ended badly: $(cat "$folder/daemon.log")"
children=$broker
unset LD_LIBRARY_PATH
[ -s "$folder/kept.db" ] || fail 'it has kept nothing'

claim 'the unit is one that systemd takes, and leaves little to attack'
unit=$folder/wheymarkd.service
sed "s,^ExecStart=/usr/bin,ExecStart=$root/usr/bin,; /^User=/d; /^Group=/d" \
  "$root/usr/lib/systemd/system/wheymarkd.service" >"$unit"
systemd-analyze verify --man=no "$unit" >"$folder/log" 2>&1 || fail "$(cat "$folder/log")"
[ ! -s "$folder/log" ] || fail "$(cat "$folder/log")"
systemd-analyze security --offline=true --threshold=20 \
  "$root/usr/lib/systemd/system/wheymarkd.service" >"$folder/log" 2>&1 || fail "$(tail -3 "$folder/log")"

claim 'dpkg takes them away again: the configuration stays until it is purged'
in_root --remove libwheymark-dev wheymark
[ ! -e "$root/usr/bin/wheymarkd" ] || fail 'still there'
[ -f "$root/etc/wheymark/household.json" ] || fail 'the configuration is gone'
in_root --purge wheymark
[ ! -e "$root/etc/wheymark" ] || fail 'still there'
echo 'package: all is well'
