// Assemblies and a shop for tests and benchmarks of the shop's room. Invented sizes.
#pragma once

#include "layout_scene.h"
#include "mitre_scene.h"
#include "shop/set_up.h"
#include "parts.h"

namespace halfround::shop {

/// One straight tube mitred onto the steerer of tests/mitre_scene.h, cut at its end.
inline bike::Assembly one_joint(const shape::Tube& member, const shape::Tube& target) {
  bike::Assembly a;
  a.members = {{"blade.left"_part, member, 0, 300, member.length()},
               {"steerer"_part, target, 0, target.length(), target.length()}};
  a.joints = {{"blade.left"_part, bike::End::end, "steerer"_part, bike::JointKind::mitred}};
  return a;
}

inline std::vector<study::Mitre> mitres_of(const bike::Assembly& a) {
  const auto m = study::mitres(a, {});
  base::check(m.has_value(), "the scene's mitres can be had");
  return *m;
}

inline bike::Assembly scene_fork() {
  const auto fork = layout::lay_out(layout::scene());
  base::check(fork.has_value(), "the scene can be laid out");
  return fork->assembly;
}

/// Twelve cutters, in both systems of units.
inline Shop scene_shop() {
  Shop shop;
  for (const double d : {28.6, 28.575, 29.0, 29.2, 31.75, 25.4, 30.0, 24.0, 23.8125, 24.5, 20.0, 38.1}) {
    shop.cutters.push_back({"hole saw", CutterKind::hole_saw, d, 0});
  }
  shop.files = {{"half-round", FileKind::half_round, 12},
                {"big half-round", FileKind::half_round, 14},
                {"too big", FileKind::half_round, 16},
                {"flat", FileKind::flat, 0}};
  return shop;
}

}  // namespace halfround::shop
