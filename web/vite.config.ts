// The page's build: static files in dist, no inline script, no outside address. `npm run dev` and
// `npx vite preview` pass /api on to a running `halfround serve`.
import react from "@vitejs/plugin-react";
import { defineConfig } from "vite";

const server = process.env["HALFROUND_SERVER"] ?? "http://127.0.0.1:8710";
const proxy = { "/api": { target: server, ws: true, changeOrigin: true, headers: { origin: server } } };
const policy =
  "default-src 'self'; img-src 'self' data: blob:; style-src 'self' 'unsafe-inline'; object-src 'none'; " +
  "base-uri 'none'; form-action 'self'; frame-ancestors 'self'";

export default defineConfig({
  plugins: [react()],
  build: { target: "es2022", assetsInlineLimit: 0, modulePreload: { polyfill: false }, chunkSizeWarningLimit: 700 },
  server: { proxy, fs: { allow: [".."] } }, // docs/page.md is the help
  preview: { proxy, headers: { "Content-Security-Policy": policy } },
});
