#!/bin/sh
# The package on a Debian that has nothing yet: a minimal root from the mirror, apt finds what the
# package depends on, and its own user runs the daemon. As root, some minutes, needs the mirror: by
# hand before a release.
#   sh tests/package/fresh_debian.sh [MIRROR]
set -eu
top=$(cd "$(dirname "$0")/../.." && pwd)
mirror=${1:-http://deb.debian.org/debian}
root=$(mktemp -d)
chmod 755 "$root"  # it is everybody's / in there
trap 'rm -rf "$root"' EXIT
trap 'exit 130' INT TERM

debootstrap --variant=minbase bookworm "$root" "$mirror" >"$root.log" 2>&1 || { tail "$root.log"; exit 1; }
rm -f "$root.log"
cp "$top"/build/package/wheymark_*.deb "$root/tmp/"
printf '#!/bin/sh\nexit 101\n' >"$root/usr/sbin/policy-rc.d"  # no service is started in here
chmod 755 "$root/usr/sbin/policy-rc.d"
chroot "$root" env DEBIAN_FRONTEND=noninteractive sh -euc '
  apt-get install -y -qq --no-install-recommends /tmp/wheymark_*.deb mosquitto mosquitto-clients >/tmp/log 2>&1 ||
    { cat /tmp/log; exit 1; }
  getent passwd wheymark
  stat -c "%U:%G %a %n" /etc/wheymark
  mkdir -m 0750 /var/lib/wheymark
  chown wheymark:wheymark /var/lib/wheymark
  mosquitto -p 1883 >/dev/null 2>&1 &
  broker=$!
  setpriv --reuid wheymark --regid wheymark --clear-groups \
    wheymarkd run --config /etc/wheymark/household.json &
  daemon=$!
  trap "kill $broker $daemon 2>/dev/null || true" EXIT
  said= tries=0
  while [ "$said" != ready ] && [ $tries -lt 20 ]; do
    tries=$((tries + 1))
    said=$(mosquitto_sub -h 127.0.0.1 -t "homie/5/wheymark/\$state" -C 1 -W 1 -F %p 2>/dev/null) || true
  done
  echo "state: $said"
  kill $daemon; wait $daemon
  ls -l /var/lib/wheymark
  apt-get purge -y -qq wheymark >/tmp/log 2>&1 || { cat /tmp/log; exit 1; }
  [ ! -e /etc/wheymark ] && [ ! -e /var/lib/wheymark ] && [ "$said" = ready ] && echo "all is well"
'
