#!/bin/sh
# Makes an authority and a broker's certificate in the current folder, good for 30 days: enough to
# try the example, not a way to run an authority.
#   make-certificates.sh BROKER_NAME_OR_ADDRESS
set -eu
name=${1:?the name or address by which the daemon calls the broker is missing}
case $name in
  *[!0-9.]*) alternative="DNS:$name" ;;
  *) alternative="IP:$name" ;;
esac
openssl req -x509 -newkey rsa:2048 -nodes -days 30 -subj "/CN=household authority" \
  -keyout ca.key -out ca.pem 2>/dev/null
openssl req -newkey rsa:2048 -nodes -subj "/CN=$name" -keyout broker.key -out broker.csr 2>/dev/null
printf 'subjectAltName=%s\n' "$alternative" >broker.ext
openssl x509 -req -in broker.csr -CA ca.pem -CAkey ca.key -CAcreateserial -days 30 \
  -extfile broker.ext -out broker.pem 2>/dev/null
rm -f broker.csr broker.ext ca.srl
