#!/bin/sh
# Builds the image where there is no container engine and no registry: Debian's buildah over a base by Debian's debootstrap.
#     docker/build-here.sh [docker/small.lock]           (as root; needs buildah, debootstrap and the network)
# The base stands in for python:3.13-slim, under its name; what is built on it is docker/Dockerfile unchanged.
set -eu
cd "$(dirname "$0")/.."
lock="${1:-requirements.lock}"
tag="engine-build-rules:0.1.0$([ "$lock" = requirements.lock ] || echo -small)"
work="$(mktemp -d)"
trap 'rm -rf "$work"' EXIT
export STORAGE_DRIVER="${STORAGE_DRIVER:-vfs}" BUILDAH_ISOLATION="${BUILDAH_ISOLATION:-chroot}"

if ! buildah inspect --type image docker.io/library/python:3.13-slim > /dev/null 2>&1; then
  debootstrap --variant=minbase --include=python3,python3-venv,python3-pip,python-is-python3,ca-certificates trixie "$work/base"
  # Own certificates of this machine, where a proxy needs them; the lists and caches of packages are no part of a base.
  cp /etc/ssl/certs/ca-certificates.crt "$work/base/etc/ssl/certs/"
  rm -rf "$work/base/var/cache/apt" "$work/base/var/lib/apt/lists" "$work/base/usr/share/doc" "$work/base/usr/share/man" "$work/base/usr/share/locale"
  base="$(buildah from scratch)"
  buildah copy --quiet "$base" "$work/base" /
  buildah config --cmd python3 "$base"
  buildah commit --quiet --rm "$base" docker.io/library/python:3.13-slim
fi

# HEALTHCHECK is known to the format of docker only.
buildah bud --quiet --pull-never --format docker --build-arg "LOCK=$lock" --build-arg "REVISION=$(git rev-parse HEAD 2> /dev/null || echo unknown)" \
  --ignorefile docker/Dockerfile.dockerignore --file docker/Dockerfile --tag "$tag" .

container="$(buildah from --pull-never "localhost/$tag")"
mounted="$(buildah mount "$container")"
for part in "" opt/packages app; do
  echo "$tag, /$part: $(du -sm "$mounted/$part" | cut -f1) MB"
done
# What is in it, by name, version and licence, in the format of CycloneDX.
python3 docker/bill_of_materials.py "$mounted/opt/packages" > "${BILL:-$work/bill.json}"
# It starts as its user, answers, and is ready as its own probe asks.
buildah run --env ALLOW_ANONYMOUS=1 --env PORT=18077 --env WATCH_PORT=18079 "$container" -- \
  sh -c 'gunicorn --config docker/gunicorn.conf.py service.wsgi:app > /tmp/log 2>&1 & before=$(date +%s%N)
    for _ in $(seq 600); do python docker/probe.py > /dev/null && break; sleep 0.05; done
    python docker/probe.py && echo "ready after $((($(date +%s%N) - before) / 1000000)) ms" && grep "\"start\"" /tmp/log; kill %1 2> /dev/null || kill $!'
buildah umount "$container" > /dev/null
buildah rm "$container" > /dev/null
