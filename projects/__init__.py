"""WHO, WHERE, WHEN: firms, sites, people and roles, drawings, slabs and pours."""
