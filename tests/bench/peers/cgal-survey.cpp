// The job done with CGAL 5.5: reads a binary STL of a mould, builds the mesh, cuts the fill out of it by corefinement,
// splits it into bodies, sums their volumes, and runs the shape diameter (25 rays a face) over the bodies' walls.
// One line of JSON: milliseconds of wall clock and of processor time up to the end of each stage.
//   cgal-survey plate.stl [--quick]
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/IO/STL.h>
#include <CGAL/Polygon_mesh_processing/connected_components.h>
#include <CGAL/Polygon_mesh_processing/corefinement.h>
#include <CGAL/Polygon_mesh_processing/measure.h>
#include <CGAL/Polygon_mesh_processing/polygon_soup_to_polygon_mesh.h>
#include <CGAL/Polygon_mesh_processing/triangulate_faces.h>
#include <CGAL/Surface_mesh.h>
#include <CGAL/boost/graph/generators.h>
#include <CGAL/boost/graph/helpers.h>
#include <CGAL/mesh_segmentation.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cstdio>
#include <cstring>
#include <ctime>
#include <vector>

using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Point = Kernel::Point_3;
using Mesh = CGAL::Surface_mesh<Point>;
namespace PMP = CGAL::Polygon_mesh_processing;

struct Clock {
  std::chrono::steady_clock::time_point wall = std::chrono::steady_clock::now();
  std::clock_t processor = std::clock();
  void print(const char *stage) const {
    const std::chrono::duration<double, std::milli> passed = std::chrono::steady_clock::now() - wall;
    std::printf("\"%sMs\":%.1f,\"%sCpuMs\":%.1f,", stage, passed.count(), stage,
                1000.0 * (std::clock() - processor) / CLOCKS_PER_SEC);
  }
};

int main(int argc, char **argv) {
  if (argc < 2) return 1;
  const bool quick = argc > 2 && std::strcmp(argv[2], "--quick") == 0;
  const Clock clock;
  std::printf("{");

  Mesh mould;
  {
    std::vector<Point> points;
    std::vector<std::array<std::size_t, 3>> faces;
    if (!CGAL::IO::read_STL(argv[1], points, faces)) return 2;
    PMP::polygon_soup_to_polygon_mesh(points, faces, mould);
  }
  clock.print("read");

  // Everything under the land and inside the plate's outline that is not mould. The land lies in z = 0; the lid lies a
  // micrometre under it, since faces in exactly one plane cost CGAL twenty times as much (measured).
  CGAL::Bbox_3 box = PMP::bbox(mould);
  const double in = 0.5;
  Mesh under, fill;
  const auto at = [&](double x, double y, double z) { return Point(x, y, z); };
  const double x0 = box.xmin() + in, x1 = box.xmax() - in, y0 = box.ymin() + in, y1 = box.ymax() - in;
  const double z0 = box.zmin() + in, z1 = -0.001;
  CGAL::make_hexahedron(at(x0, y0, z0), at(x1, y0, z0), at(x1, y1, z0), at(x0, y1, z0), at(x0, y1, z1),
                        at(x0, y0, z1), at(x1, y0, z1), at(x1, y1, z1), under);
  // make_hexahedron gives four-sided faces.
  PMP::triangulate_faces(under);
  if (!PMP::corefine_and_compute_difference(under, mould, fill)) return 3;
  clock.print("cut");

  std::vector<Mesh> bodies;
  PMP::split_connected_components(fill, bodies);
  std::vector<double> volumes;
  std::vector<Mesh *> kept;
  for (Mesh &body : bodies) {
    const double volume = PMP::volume(body);
    if (volume < 1) continue;
    volumes.push_back(volume);
    kept.push_back(&body);
  }
  clock.print("split");

  if (!quick) {
    for (Mesh *body : kept) {
      auto diameters = body->add_property_map<Mesh::Face_index, double>("f:diameter", 0).first;
      CGAL::sdf_values(*body, diameters, 2.0 / 3.0 * CGAL_PI, 25, false);
    }
    clock.print("whole");
  }
  std::size_t faces = 0;
  for (Mesh *body : kept) faces += body->number_of_faces();
  std::sort(volumes.begin(), volumes.end());
  std::printf("\"bodyFaces\":%zu,\"volumesMm3\":[", faces);
  for (std::size_t i = 0; i < volumes.size(); i++) std::printf("%s%.6f", i ? "," : "", volumes[i]);
  std::printf("]}\n");
  return 0;
}
