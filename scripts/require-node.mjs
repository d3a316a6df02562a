// Imported first by every entry: older versions crash as soon as a native module is loaded, without a word of why.
// It must itself run on them, so it uses nothing newer than Node 18.
const [major = 0, minor = 0] = process.versions.node.split('.').map(Number);

if (major < 22 || (major === 22 && minor < 12)) {
  console.error(`Proofarm needs Node 22.12 or newer; this is Node ${process.versions.node}.
Start it through npm, which uses the newer Node that "npm ci" installs on 64-bit Linux: npm start, npm test, npx proofarm.
On other systems install a current Node first. Nothing was started or changed.`);
  process.exit(1);
}
