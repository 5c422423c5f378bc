// Volume of the part of a closed mesh that lies under z = 0, by CGAL (Polygon Mesh Processing: clip, volume), and the
// volumes of its connected parts, as JSON on standard output. The input is an OFF file.
// Debian: apt-get install g++ libcgal-dev
//   g++ -O2 -o /tmp/volume-under-plane tests/outside/volume-under-plane.cpp -lgmp -lmpfr
//   npx tsx tests/outside/record-bunny.ts /tmp/volume-under-plane
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Polygon_mesh_processing/IO/polygon_mesh_io.h>
#include <CGAL/Polygon_mesh_processing/clip.h>
#include <CGAL/Polygon_mesh_processing/connected_components.h>
#include <CGAL/Polygon_mesh_processing/measure.h>
#include <CGAL/Surface_mesh.h>
#include <CGAL/version.h>
#include <algorithm>
#include <cstdio>
#include <vector>

namespace PMP = CGAL::Polygon_mesh_processing;
using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Mesh = CGAL::Surface_mesh<Kernel::Point_3>;

int main(int argc, char** argv) {
  Mesh mesh;
  if (argc != 2 || !PMP::IO::read_polygon_mesh(argv[1], mesh) || !CGAL::is_closed(mesh)) {
    std::fprintf(stderr, "usage: volume-under-plane CLOSED.off\n");
    return 1;
  }
  // the negative side of the plane is kept
  PMP::clip(mesh, Kernel::Plane_3(0, 0, 1, 0), CGAL::parameters::clip_volume(true));
  std::vector<Mesh> parts;
  PMP::split_connected_components(mesh, parts);
  std::vector<double> volumes;
  for (const Mesh& part : parts) volumes.push_back(CGAL::to_double(PMP::volume(part)));
  std::sort(volumes.rbegin(), volumes.rend());
  std::printf("{\n \"program\": \"CGAL Polygon Mesh Processing (clip, volume)\",\n \"version\": \"%s\",\n", CGAL_VERSION_STR);
  std::printf(" \"volumesMm3\": [");
  for (std::size_t i = 0; i < volumes.size(); i++) std::printf("%s%.12g", i ? ", " : "", volumes[i]);
  std::printf("]\n}\n");
}
