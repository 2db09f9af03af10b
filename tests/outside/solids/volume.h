// The volume of a solid as OpenCASCADE measures it.
#pragma once

#include <BRepGProp.hxx>
#include <GProp_GProps.hxx>
#include <ShapeUpgrade_ShapeDivideContinuity.hxx>
#include <TopoDS_Shape.hxx>

namespace halfround::solid {

/// mm3. The library adds up a face as if it were smooth: over a tube whose taper has a corner at a ring, or
/// whose bends follow one another, it is off by up to 2e-4, left and right by unlike amounts (2026-12-01). So
/// the faces are divided where their curvature jumps, which moves no point of them, and each is added up by
/// itself.
inline double volume_of(const TopoDS_Shape& solid) {
  ShapeUpgrade_ShapeDivideContinuity divide(solid);
  divide.SetSurfaceCriterion(GeomAbs_C2);
  divide.SetPCurveCriterion(GeomAbs_C0);
  divide.SetBoundaryCriterion(GeomAbs_C0);
  divide.SetTolerance(1e-7);
  divide.Perform();
  GProp_GProps sum;
  BRepGProp::VolumeProperties(divide.Result(), sum, 1e-8);
  return sum.Mass();
}

}  // namespace halfround::solid
