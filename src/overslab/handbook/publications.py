"""Titles of publications that more than one chapter takes from, spelt once with their edition.

A source that begins with one of these is listed under it on the page of sources. ``second hand``
stands in the source itself where the print was read in somebody else's transcription.
"""

from __future__ import annotations

UFC_PAVEMENT = "UFC 3-260-02 (30 June 2001)"
UFC_EVALUATION = "UFC 3-260-03 (15 April 2001)"
UFC_DISTRESS = "UFC 3-270-05 (15 March 2001)"
UFC_FLOORS = "UFC 3-320-06A (formerly TM 5-809-12)"
FAA_1995 = "FAA AC 150/5320-6D (1995)"
FAA_6E = "FAA AC 150/5320-6E"
AASHTO_1993 = "AASHTO Guide for Design of Pavement Structures (1993), part III chapter 5"
HUANG = "Y. H. Huang, Pavement Analysis and Design, 2nd ed. (2004)"
NPTEL_PAVEMENT = "NPTEL course 105101087, Transportation Engineering, lecture 29"
WIGHT_MACGREGOR = (
    "J. K. Wight and J. G. MacGregor, Reinforced Concrete: Mechanics and Design, 5th ed. (2009)"
)
CRSI_37 = "CRSI Engineering Data Report 37, Reinforcing Steel in Slabs-on-Grade"
PDH_S132 = "PDH course S132, Slab on Grade Reinforcing Design"
PCA_1983 = "PCA, Concrete Floors on Ground, 2nd ed. (1983)"
CONCRETE_CONSTRUCTION = "Concrete Construction"
CONCRETE_PRODUCER = "The Concrete Producer"
ACI_209_1992 = "ACI 209R-92"
ACI_209_2008 = "ACI 209.2R-08"
ACI_302_1980 = "ACI 302.1R-80"
ACI_302_1996 = "ACI 302.1R-96"
ACI_318 = "ACI 318-19"
ACI_360 = "ACI 360R"
ACI_117 = "ACI 117-10"
CP_TECH_GUIDES = "CP Tech Center, guides to concrete overlays"
CP_TECH_2007 = "CP Tech Center, Guide to Concrete Overlay Solutions (January 2007)"
HARRINGTON_FICK = (
    "D. Harrington and G. Fick, Guide to Concrete Overlays, 3rd ed. (CP Tech Center, 2014)"
)
READY_MIX_JOINTING = "Illinois Ready Mixed Concrete Association, page on joints"
ASTM_E1155 = "ASTM E1155"
TOLERANCE_CHAPTER = "Dimensional tolerances in construction and for surface accessibility"
DIN_18202 = "DIN 18202"
IRC_2018 = "International Residential Code 2018"
NEC = "National Electrical Code"
ADA_2010 = "ADA Standards for Accessible Design (2010)"
BUILDING_AMERICA = "Building America Solution Center"
REMODELLING = "Remodelling performance standards"

PUBLICATIONS: tuple[str, ...] = tuple(
    value for name, value in list(globals().items()) if name.isupper() and isinstance(value, str)
)
