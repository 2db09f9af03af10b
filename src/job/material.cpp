#include "job/material.h"

#include <algorithm>

#include "base/result.h"

namespace halfround::job {

bike::Material material_called(const Materials& materials, const std::string& name) {
  if (const bike::Material* m = bike::find_material(name)) return *m;
  base::check(name == kOwnMaterial && materials.own.has_value(),
              "a job that was read names a material that is there");
  const OwnMaterial& own = *materials.own;
  // stiffness and, where it is left out, density are the metal's: they hardly differ between its alloys
  bike::Material out = *std::ranges::find(bike::materials(), own.metal, &bike::Material::metal);
  out.name = "own material";
  out.yield = own.yield.value, out.ultimate = own.ultimate.value;
  out.joined_yield = own.joined_yield.value, out.joined_ultimate = own.joined_ultimate.value;
  if (!own.density.typed.empty()) out.density_kg_m3 = own.density.value;
  out.source = "the job's own figures";
  return out;
}

}  // namespace halfround::job
