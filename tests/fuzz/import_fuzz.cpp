// Any bytes as a traced curve: answered by a piece of a job or by a located sentence, never by a crash; what
// is understood has finite numbers. The first byte says which format, which shape and whether a unit is
// given. Seeds: tests/fuzz/corpus/import.
#include <cmath>
#include <cstdint>
#include <string_view>

#include "trace/shapes.h"

using namespace halfround;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size == 0) return 0;
  const unsigned how = data[0];
  const std::string_view text(reinterpret_cast<const char*>(data) + 1, size - 1);
  static const char* const kFiles[] = {"fuzz.csv", "fuzz.svg", "fuzz.dxf", "fuzz"};
  trace::Wish wish;
  wish.kind = static_cast<trace::Kind>((how >> 2) % 3);
  if (how & 16) wish.unit = how & 32 ? 25.4 : 1;
  if (how & 64) wish.seen = trace::SeenFrom::side, wish.reverse = true, wish.turn = 1;
  if (how & 128) wish.flip = true, wish.smooth = 0;
  const auto what = trace::understand(text, kFiles[how & 3], wish);
  if (!what) {
    const base::Problem& p = what.error();
    base::check(!p.code.empty() && !p.what.empty() && !p.fits.empty(), "a refusal says what and what fits");
    base::check(p.where.file == kFiles[how & 3], "a refusal says which file");
    return 0;
  }
  base::check(!what->toml.empty() && !what->shape.empty() && !what->picked.empty(),
              "what was understood is there");
  for (const auto* points : {&what->shape, &what->picked, &what->raw}) {
    for (const base::Vec2& p : *points) base::check(p.allFinite(), "points are finite");
  }
  return 0;
}
