#include "bike/material.h"

#include <algorithm>
#include <array>

namespace halfround::bike {

namespace {

using enum BaseMetal;

constexpr std::array<Material, 7> kMaterials{{
    {"Cr-Mo 4130", steel, 7850, 205e3, 80e3, 435, 670, 435, 600, true,
     "ASM data sheets for AISI 4130, normalised; beside a joint our own judgement from the same sheets"},
    {"25CrMo4", steel, 7850, 205e3, 80e3, 435, 670, 435, 600, true,
     "taken as 4130 (equivalence by a materials database); ASM data sheets for AISI 4130"},
    {"Mn-Mo drawn", steel, 7850, 205e3, 80e3, 600, 700, 435, 600, true,
     "trade data from memory, lower ends of the ranges; beside a joint as 4130"},
    {"Cr-Mo heat-treated", steel, 7850, 205e3, 80e3, 700, 900, 435, 600, true,
     "trade data from memory, lower ends of the ranges; beside a joint as 4130"},
    {"stainless 304", stainless, 8000, 193e3, 77e3, 207, 517, 207, 517, true,
     "MIL-T-8504B for strength; density and moduli from memory"},
    {"titanium 3Al-2.5V", titanium, 4480, 100e3, 44e3, 500, 620, 0, 0, false, "ASM sheet, Grade 9, annealed"},
    {"aluminium 6061-T6", aluminium, 2700, 68.9e3, 26e3, 276, 310, 138, 165, false,
     "Aluminum Association values on data sheets; beside a weld a page quoting MMPDS-01"},
}};

constexpr std::array<MetalRule, 4> kRules{{
    {steel, true, true, "", "common practice"},
    {stainless, true, false, "Brass on stainless steel can let water creep in along the joint.",
     "common practice"},
    {titanium, false, false, "Titanium turns brittle when it is heated in air; it is welded under argon.",
     "common practice"},
    {aluminium, false, false, "Aluminium melts before any filler of the plan flows.",
     "from memory: 6061 begins to melt at 582 °C, the coolest filler here at 618 °C"},
}};
static_assert(std::ranges::all_of(kRules,
                                  [](const MetalRule& r) {
                                    return &r == &kRules[static_cast<std::size_t>(r.metal)];
                                  }),
              "a row for each metal, in their order");

}  // namespace

const MetalRule& rule_of(BaseMetal metal) {
  return kRules[static_cast<std::size_t>(metal)];
}

std::span<const Material> materials() {
  return kMaterials;
}

const Material* find_material(std::string_view name) {
  const auto at =
      std::find_if(kMaterials.begin(), kMaterials.end(), [&](const Material& m) { return m.name == name; });
  return at == kMaterials.end() ? nullptr : &*at;
}

}  // namespace halfround::bike
