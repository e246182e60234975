import { brotliCompressSync, gzipSync } from 'node:zlib'
import { fileURLToPath } from 'node:url'
import { defineConfig, type Plugin } from 'vite'

const compressible = /\.(js|css|html|svg|webmanifest)$/

/** Writes each file compressed beside itself, so that a small board never compresses while somebody waits. */
const compressed: Plugin = {
  name: 'compressed-beside',
  apply: 'build',
  enforce: 'post',
  generateBundle(_options, bundle) {
    for (const [fileName, part] of Object.entries(bundle)) {
      if (!compressible.test(fileName)) continue
      const content = part.type === 'chunk' ? part.code : part.source
      this.emitFile({ type: 'asset', fileName: `${fileName}.br`, source: brotliCompressSync(content) })
      this.emitFile({ type: 'asset', fileName: `${fileName}.gz`, source: gzipSync(content) })
    }
  },
}

const config = defineConfig({
  root: fileURLToPath(new URL('.', import.meta.url)),
  // Relative, so that the page works under any path of a reverse proxy.
  base: './',
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  plugins: [compressed],
  build: {
    outDir: '../dist/dashboards',
    emptyOutDir: true,
    target: 'es2022',
    modulePreload: { polyfill: false },
    // Nothing inline: the content security policy allows only files of our own.
    assetsInlineLimit: 0,
  },
  server: { proxy: { '/api': 'http://127.0.0.1:8420' } },
})

export { config as default }
