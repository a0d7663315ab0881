# Two Debian packages, made by `cpack` in the build folder: sixtyfold, all that a person needs who
# never compiles, and libsixtyfold-dev, the libraries.
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME sixtyfold)
set(CPACK_PACKAGE_CONTACT "sixtyfold <sixtyfold@localhost>")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_COMPONENTS_ALL program development)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)

set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME sixtyfold)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SECTION education)
# The libraries that are linked are found by dpkg-shlibdeps; the font of drawings is named.
set(CPACK_DEBIAN_PROGRAM_PACKAGE_DEPENDS fonts-dejavu-core)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_RECOMMENDS "firefox-esr | chromium | www-browser, xdg-utils")
set(CPACK_DEBIAN_PROGRAM_DESCRIPTION
"designs large constructions from many identical flat parts
sixtyfold is for people who lead a group, such as a school class or a
festival, in building one large geometric construction by hand. Tell it the
size of your board: it searches for designs that fit, are free of
collisions and rigid, lets the group choose among them in a web browser,
and writes templates, a building guide and a plan of the day.")

set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME libsixtyfold-dev)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SHLIBDEPS OFF)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS
    "libeigen3-dev, libnlopt-cxx-dev, libnlopt-dev, libtbb-dev, libpolyclipping-dev, \
nlohmann-json3-dev, libpugixml-dev, librsvg2-dev, libcairo2-dev, pkg-config")
set(CPACK_DEBIAN_DEVELOPMENT_DESCRIPTION
"libraries that score, search and draw sixtyfold's designs
Static libraries, headers and a CMake package for programs of your own:
the engine (one design, measured), the search (many designs, ranked) and
the results (files, drawings, pages).")
include(CPack)
