// Tube materials, one row each with where the figures come from. Frame: none; MPa, kg/m3.
#pragma once

#include <span>
#include <string>
#include <string_view>

namespace halfround::bike {

/// What decides which filler may be used at all.
enum class BaseMetal { steel, stainless, titanium, aluminium };

/// What a torch and the fillers of bike/filler.h can do for a metal: one row each.
struct MetalRule {
  BaseMetal metal;
  bool torch;                ///< may be brazed at all
  bool bronze;               ///< takes a bronze or brass filler; else only those for stainless steel
  std::string_view because;  ///< one sentence that says what goes wrong; "" where nothing does
  std::string_view source;
};
[[nodiscard]] const MetalRule& rule_of(BaseMetal metal);

struct Material {
  std::string_view name;  ///< as typed in a job
  BaseMetal metal;
  double density_kg_m3;
  double E, G;                           ///< MPa
  double yield, ultimate;                ///< MPa, as delivered
  double joined_yield, joined_ultimate;  ///< MPa beside a brazed or welded joint; 0: nobody has said
  bool endurance_rule;  ///< the steel rule (half the ultimate strength) holds; else fatigue is unknown
  std::string_view source;
};

[[nodiscard]] std::span<const Material> materials();

/// Null where no row has that name.
[[nodiscard]] const Material* find_material(std::string_view name);

}  // namespace halfround::bike
