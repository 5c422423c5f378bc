"""Reads a binary STL with VTK (which welds it) and prints its volume in mm3."""
import sys

from vtkmodules.vtkFiltersCore import vtkMassProperties
from vtkmodules.vtkIOGeometry import vtkSTLReader

reader = vtkSTLReader()
reader.SetFileName(sys.argv[1])
mass = vtkMassProperties()
mass.SetInputConnection(reader.GetOutputPort())
mass.Update()
print(mass.GetVolume())
