#!/usr/bin/env bash
# Makes bladegeom/writers/turning/three.min.js again: what names.js asks for out of three.js, in one file with its licence over it.
# It is run by hand, where a newer release is wanted; it needs node with npm. The same versions give the same bytes, and
# tests/test_turning_page.py knows their checksum.
set -euo pipefail
three=0.187.0 esbuild=0.28.2

here=$(cd "$(dirname "$0")" && pwd)
out=$here/../../bladegeom/writers/turning
aside=$(mktemp -d)
trap 'rm -rf "$aside"' EXIT
cp "$here/names.js" "$aside/names.js"
cd "$aside"
npm init --yes >/dev/null
npm install --silent --no-audit --no-fund --save-exact "three@$three" "esbuild@$esbuild"
banner=$(printf '/*!\nthree.js %s, from the package of npm; what tools/three/names.js asks for.\n\n%s\n*/' "$three" "$(cat node_modules/three/LICENSE)")
npx esbuild names.js --bundle --minify --format=iife --global-name=THREE --target=es2022 --charset=ascii \
    --legal-comments=none --banner:js="$banner" --outfile="$out/three.min.js"
cp node_modules/three/LICENSE "$out/LICENSE-three"
sha256sum "$out/three.min.js"
