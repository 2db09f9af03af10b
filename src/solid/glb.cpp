// glTF 2.0, binary, by our own writer: a JSON header with fixed order and one block of numbers.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>

#include "base/say.h"
#include "solid/colours.h"
#include "solid/shape.h"

namespace halfround::solid {

namespace {

std::string quoted(const std::string& text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    if (static_cast<unsigned char>(c) < 0x20)
      out += fmt::format("\\u{:04x}", static_cast<unsigned>(c));
    else
      out += c;
  }
  return out + "\"";
}

template <class Number>
void put(std::string& out, Number v) {
  char bytes[sizeof v];
  std::memcpy(bytes, &v, sizeof v);
  out.append(bytes, sizeof v);
}

double linear(double srgb) {
  return srgb <= 0.04045 ? srgb / 12.92 : std::pow((srgb + 0.055) / 1.055, 2.4);
}

/// What the file is put together from.
struct Pieces {
  std::string nodes, meshes, materials, accessors, views, block;
  int count = 0, buffers = 0;

  void view(std::size_t bytes, int target) {
    views += fmt::format("{}{{\"buffer\":0,\"byteOffset\":{},\"byteLength\":{},\"target\":{}}}",
                         views.empty() ? "" : ",", block.size() - bytes, bytes, target);
    ++buffers;
  }
  void accessor(std::size_t n, int type, const char* shape, const std::string& more) {
    accessors += fmt::format("{}{{\"bufferView\":{},\"componentType\":{},\"count\":{},\"type\":\"{}\"{}}}",
                             accessors.empty() ? "" : ",", buffers - 1, type, n, shape, more);
  }
};

void add_part(Pieces& file, const Part& part, const MeshOptions& options) {
  const Mesh& mesh = mesh_of(*part.shape, options);
  const std::size_t n = mesh.points.size() / 3;
  // F to glTF: x left, y up, z forward; metres
  const auto axes = [](const float* p, double scale) -> std::array<float, 3> {
    return {static_cast<float>(p[1] * scale), static_cast<float>(p[2] * scale),
            static_cast<float>(p[0] * scale)};
  };
  std::array<float, 3> low{INFINITY, INFINITY, INFINITY}, high{-INFINITY, -INFINITY, -INFINITY};
  for (std::size_t i = 0; i < n; ++i) {
    const auto p = axes(&mesh.points[3 * i], 1e-3);
    for (std::size_t k = 0; k < 3; ++k)
      low[k] = std::min(low[k], p[k]), high[k] = std::max(high[k], p[k]), put(file.block, p[k]);
  }
  constexpr int kFloat = 5126, kUint = 5125, kCorners = 34962, kIndices = 34963;
  const int first = 3 * file.count;
  file.view(n * 12, kCorners);
  file.accessor(n, kFloat, "VEC3",
                fmt::format(",\"min\":[{},{},{}],\"max\":[{},{},{}]", low[0], low[1], low[2], high[0],
                            high[1], high[2]));
  for (std::size_t i = 0; i < n; ++i) {
    for (const float v : axes(&mesh.normals[3 * i], 1)) put(file.block, v);
  }
  file.view(n * 12, kCorners);
  file.accessor(n, kFloat, "VEC3", "");
  for (const std::uint32_t k : mesh.corners) put(file.block, k);
  file.view(mesh.corners.size() * 4, kIndices);
  file.accessor(mesh.corners.size(), kUint, "SCALAR", "");
  const std::string comma = file.count ? "," : "";
  const Colour c = colour_of(part.part.kind);
  file.materials +=
      comma + base::say(
                  "{{\"name\":{},\"pbrMetallicRoughness\":{{\"baseColorFactor\":[{:.6f},{:.6f},{:.6f},1],"
                  "\"metallicFactor\":0.2,\"roughnessFactor\":0.6}}}}",
                  quoted(bike::spoken(part.part)), linear(c.red), linear(c.green), linear(c.blue));
  file.meshes +=
      comma + fmt::format(
                  "{{\"name\":{},\"primitives\":[{{\"attributes\":{{\"POSITION\":{},\"NORMAL\":{}}},"
                  "\"indices\":{},\"material\":{}}}]}}",
                  quoted(bike::spoken(part.part)), first, first + 1, first + 2, file.count);
  file.nodes += fmt::format(",{{\"name\":{},\"mesh\":{}}}", quoted(bike::spoken(part.part)), file.count);
  ++file.count;
}

void put_chunk(std::string& out, std::uint32_t kind, std::string bytes, char filler) {
  while (bytes.size() % 4) bytes += filler;
  put(out, static_cast<std::uint32_t>(bytes.size())), put(out, kind);
  out += bytes;
}

}  // namespace

std::string to_glb(const std::vector<Part>& parts, const std::string& name, const MeshOptions& options) {
  Pieces file;
  for (const Part& p : parts) add_part(file, p, options);
  std::string children;
  for (int i = 1; i <= file.count; ++i) children += fmt::format("{}{}", i > 1 ? "," : "", i);
  const std::string json = fmt::format(
      "{{\"asset\":{{\"version\":\"2.0\",\"generator\":\"Halfround\"}},\"scene\":0,\"scenes\":[{{\"nodes\":["
      "0]}}],"
      "\"nodes\":[{{\"name\":{},\"children\":[{}]}}{}],\"meshes\":[{}],\"materials\":[{}],\"accessors\":[{}],"
      "\"bufferViews\":[{}],\"buffers\":[{{\"byteLength\":{}}}]}}",
      quoted(name), children, file.nodes, file.meshes, file.materials, file.accessors, file.views,
      file.block.size());
  std::string chunks;
  put_chunk(chunks, 0x4E4F534A, json, ' ');
  put_chunk(chunks, 0x004E4942, std::move(file.block), '\0');
  std::string out;
  put(out, std::uint32_t{0x46546C67}), put(out, std::uint32_t{2}),
      put(out, static_cast<std::uint32_t>(12 + chunks.size()));
  return out + chunks;
}

}  // namespace halfround::solid
