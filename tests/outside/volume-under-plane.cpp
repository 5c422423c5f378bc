// Volume of the part of a mesh that lies under z = 0, by CGAL (Polygon Mesh Processing: triangulate_hole, clip, volume), and
// the volumes of its connected parts, as JSON on standard output. Holes of an open mesh are closed first, each with the
// triangles that CGAL finds best. The input is an OFF file.
// Debian: apt-get install g++ libcgal-dev
//   g++ -O2 -o /tmp/volume-under-plane tests/outside/volume-under-plane.cpp -lgmp -lmpfr
//   npx tsx tests/outside/record-bunny.ts /tmp/volume-under-plane
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Polygon_mesh_processing/IO/polygon_mesh_io.h>
#include <CGAL/Polygon_mesh_processing/clip.h>
#include <CGAL/Polygon_mesh_processing/connected_components.h>
#include <CGAL/Polygon_mesh_processing/border.h>
#include <CGAL/Polygon_mesh_processing/measure.h>
#include <CGAL/Polygon_mesh_processing/triangulate_hole.h>
#include <CGAL/Surface_mesh.h>
#include <CGAL/version.h>
#include <algorithm>
#include <cstdio>
#include <iterator>
#include <vector>

namespace PMP = CGAL::Polygon_mesh_processing;
using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Mesh = CGAL::Surface_mesh<Kernel::Point_3>;

int main(int argc, char** argv) {
  Mesh mesh;
  if (argc != 2 || !PMP::IO::read_polygon_mesh(argv[1], mesh)) {
    std::fprintf(stderr, "usage: volume-under-plane MESH.off\n");
    return 1;
  }
  std::vector<Mesh::Halfedge_index> borders;
  PMP::extract_boundary_cycles(mesh, std::back_inserter(borders));
  for (Mesh::Halfedge_index border : borders) {
    std::vector<Mesh::Face_index> patch;
    PMP::triangulate_hole(mesh, border, std::back_inserter(patch));
  }
  if (!CGAL::is_closed(mesh)) {
    std::fprintf(stderr, "a hole could not be closed\n");
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
